import { effect } from '@preact/signals';
import { render } from 'preact';
import { signInCodeIn } from '#core/messages/sign-in-link';
import { App } from './app.tsx';
import { AppProvider, createAppContext } from './app-context.ts';
import { StreamClient } from './data/stream-client.ts';
import { followRoute } from './routes.ts';

/** How often what is due is looked for, ms; numbers themselves change at most twice a second. */
const TICK_MS = 100;

const app = createAppContext(window, followRoute(window));
app.screen.apply();
await app.screen.applyWords();
app.training.key.take();
window.addEventListener('hashchange', () => {
  if (app.training.key.take()) void app.training.refresh();
});
void app.shell.start();
window.matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => app.screen.apply());

let frameAsked = false;
/** One redraw per animation frame, however much has arrived. */
function redrawSoon(): void {
  if (frameAsked) return;
  frameAsked = true;
  requestAnimationFrame(() => {
    frameAsked = false;
    app.rigs.publish();
  });
}

const stream = new StreamClient({
  url: '/api/v1/stream',
  onEvent: (name, data) => {
    app.rigs.onEvent(name, data);
    app.truck.onEvent(name, data);
    app.alarms.onEvent(name, data);
    app.trims.onEvent(name, data);
    if (name === 'alarms') app.watch.tick();
    app.readiness.onEvent(name, data);
    app.holds.onEvent(name, data);
    app.changes.onEvent(name, data);
    app.training.onEvent(name, data);
    redrawSoon();
  },
  onSignedOut: () => void app.session.refresh(),
  onLink: state => {
    app.rigs.onLink(state);
    app.alarms.onLink(state);
    app.truck.onLink(state);
    if (state === 'open') {
      void app.zone.refresh();
      void app.shell.ask();
      void app.procedures.refresh();
      void app.readiness.refresh();
      void app.holds.refresh();
      void app.training.refresh();
      app.changes.reconnected();
    }
  },
});
/** What the address carries signs in first; then the page knows who it is. Nothing waits for it. */
async function whoIsHere(): Promise<void> {
  const code = signInCodeIn(window.location.hash);
  if (code !== null) app.replace({ view: (await app.session.byLink(code)) ? 'live' : 'signIn' });
  await app.session.refresh();
}
void whoIsHere();
effect(() => {
  const state = app.session.state.value;
  // Where it cannot be asked, the stream says so by itself.
  if (state === null || state.rights.includes('read')) stream.start();
  else stream.stop();
});
for (const act of ['pointerdown', 'keydown'] as const) {
  window.addEventListener(act, () => app.session.acted(), { passive: true });
}

setInterval(() => {
  redrawSoon();
  app.session.tick();
  app.watch.tick();
  const joints = new Set<string>();
  for (const entry of app.rigs.entries.peek()) {
    const { work, site, rig, pass } = entry.view.peek();
    if (pass !== null) app.trims.want(site, rig, pass.index);
    if (work === null) continue;
    joints.add(work.joint);
    app.procedures.want(work.procedureId, work.procedureRevision);
  }
  app.rings.tick(joints);
}, TICK_MS);

document.addEventListener('visibilitychange', () => {
  if (document.visibilityState !== 'visible') return;
  app.rigs.woke();
  stream.woke();
  void app.screen.onVisible();
});

// Somebody may have signed in, or out, in another tab or window.
window.addEventListener('focus', () => void app.session.refresh());

effect(() => {
  document.documentElement.dataset['view'] = app.route.value.view;
});

const root = document.getElementById('app');
if (root !== null) {
  render(
    <AppProvider value={app}>
      <App />
    </AppProvider>,
    root,
  );
}
