import type { Signal } from '@preact/signals';
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import { AlarmActions } from './data/alarm-actions.ts';
import { AlarmStore } from './data/alarm-store.ts';
import { AlarmWatch } from './data/alarm-watch.ts';
import { ApiClient } from './data/api-client.ts';
import { forgetTyped } from './data/forget-typed.ts';
import { Holds } from './data/holds.ts';
import { JobZone } from './data/job-zone.ts';
import { JointRings } from './data/joint-rings.ts';
import { JournalChanges } from './data/journal-changes.ts';
import { Procedures } from './data/procedures.ts';
import { ReadinessStore } from './data/readiness-store.ts';
import { RigStore } from './data/rig-store.ts';
import { SessionStore } from './data/session-store.ts';
import { WebAudioOutput } from './data/sound-output.ts';
import { TrainerKey } from './data/trainer-key.ts';
import { TrainingStore } from './data/training-store.ts';
import { Trims } from './data/trims.ts';
import { TruckBoard } from './data/truck-board.ts';
import { OfflineShell } from './offline/offline-shell.ts';
import { type Route, routeUrl } from './routes.ts';
import { ScreenSettings } from './theme/screen-settings.ts';

/** What the views share. Made once in main.tsx, passed down; nothing in it is global. */
export interface AppContext {
  readonly api: ApiClient;
  readonly rigs: RigStore;
  readonly truck: TruckBoard;
  readonly alarms: AlarmStore;
  /** Sound of this device. */
  readonly watch: AlarmWatch;
  /** What a person does about alarms. */
  readonly actions: AlarmActions;
  readonly rings: JointRings;
  readonly trims: Trims;
  readonly procedures: Procedures;
  readonly readiness: ReadinessStore;
  readonly holds: Holds;
  readonly changes: JournalChanges;
  readonly training: TrainingStore;
  /** Who is signed in. */
  readonly session: SessionStore;
  readonly route: Signal<Route>;
  readonly zone: JobZone;
  readonly screen: ScreenSettings;
  readonly shell: OfflineShell;
  readonly go: (route: Route) => void;
  /** The same page in another state: going back leaves the page, not one step of it. */
  readonly replace: (route: Route) => void;
}

export function createAppContext(target: Window & typeof globalThis, route: Signal<Route>): AppContext {
  const api = new ApiClient();
  const monotonicMs = (): number => target.performance.now();
  const rigs = new RigStore({ monotonicMs, wallMs: () => Date.now() });
  const rings = new JointRings(api.ring, monotonicMs);
  const alarms = new AlarmStore();
  rigs.jointChanged = joint => rings.changed(joint);
  const actions = new AlarmActions(api, alarms, target.localStorage);
  const session = new SessionStore({ api, storage: target.localStorage, monotonicMs });
  session.onPerson = person => actions.signedIn(person);
  session.onLeft = open => {
    forgetTyped(target.localStorage, target.sessionStorage);
    if (open) target.location.hash = routeUrl({ view: 'live' });
  };
  // Where the server cannot say who is here, the list of alarms asks for a name.
  actions.signIn = async () => session.state.peek() !== null && (await session.signInAgain());
  return {
    api,
    rigs,
    truck: new TruckBoard(),
    alarms,
    watch: new AlarmWatch(alarms, new WebAudioOutput(target), monotonicMs),
    actions,
    session,
    rings,
    trims: new Trims((site, rig) => api.get(['events'], { site, rig, type: 'trim', limit: '20' })),
    procedures: new Procedures(api.procedures, monotonicMs),
    readiness: new ReadinessStore(() => api.get(['readiness'])),
    holds: new Holds(api.entries),
    changes: new JournalChanges(),
    training: new TrainingStore(api, new TrainerKey(target), target.sessionStorage),
    route,
    zone: new JobZone(
      () => api.get(['system']),
      target.localStorage,
      Intl.DateTimeFormat().resolvedOptions().timeZone,
    ),
    screen: new ScreenSettings(target),
    shell: new OfflineShell(
      target.navigator.serviceWorker as ServiceWorkerContainer | undefined,
      monotonicMs,
    ),
    go: to => {
      target.location.hash = routeUrl(to);
    },
    replace: to => {
      target.history.replaceState(null, '', routeUrl(to));
      route.value = to;
    },
  };
}

const Context = createContext<AppContext | null>(null);
export const AppProvider = Context.Provider;

export function useApp(): AppContext {
  const app = useContext(Context);
  if (app === null) throw new Error('a view outside AppProvider');
  return app;
}
