/** Training in the running dashboard: its file, the simulator's control, the trainer's key. */
import { randomUUID } from 'node:crypto';
import type SqliteDatabase from 'better-sqlite3';
import type { TrainingChange } from '#core/messages/api-training';
import { EXIT, ProgramError } from '#core/program/program-error';
import type { ReportEvent } from '../internal-events.ts';
import type { Announcements } from '../live/announcements.ts';
import type { RigBoard } from '../live/rig-board.ts';
import type { StreamHub } from '../live/stream-hub.ts';
import type { Settings } from '../settings.ts';
import type { DashboardStore } from '../store/store.ts';
import { type Control, ControlClient } from './control-client.ts';
import { TrainerKey } from './trainer-key.ts';
import { TrainingDesk } from './training-desk.ts';
import { TrainingStore } from './training-store.ts';

/** What a dashboard of training is told; a real one has none of it. */
export interface TrainingSetup {
  /** The simulator's control, on this machine. */
  readonly controlUrl: string;
  readonly token: string;
  readonly trainerKey: string;
}

export interface OpenTrainingOptions {
  readonly settings: Pick<Settings, 'data'>;
  readonly sqlite: typeof SqliteDatabase;
  readonly setup: TrainingSetup;
  /** Of the welds. */
  readonly store: Pick<DashboardStore, 'rigs' | 'streamStates'>;
  readonly board: Pick<RigBoard, 'list'>;
  readonly hub: StreamHub;
  readonly announcements: Announcements;
  readonly report: ReportEvent;
  readonly now: () => Date;
  readonly newId?: () => string;
  /** Another than the one over HTTP, for tests. */
  readonly control?: Control;
}

export interface OpenTraining {
  readonly desk: TrainingDesk;
  readonly key: TrainerKey;
  readonly stop: () => void;
}

const TICK_MS = 1000;

export function openTraining(options: OpenTrainingOptions): OpenTraining {
  const { settings, sqlite, setup, board, hub, announcements, report, now, newId = randomUUID } = options;
  refuseRealWelds(options);
  const store = new TrainingStore({ directory: settings.data, sqlite, report, now });
  store.open();
  let told = 0;
  const onChange = (change: TrainingChange): void => {
    told++;
    const announcement = announcements.tell('training', `training ${told}`, change);
    if (announcement) hub.announce(announcement);
  };
  const desk = new TrainingDesk({
    store,
    control: options.control ?? new ControlClient(setup.controlUrl, setup.token),
    now,
    newId,
    alongMm: (rig, agoMs) => alongMm(board, rig, agoMs),
    onChange,
  });
  const timer = setInterval(() => {
    desk.tick().catch((error: Error) => report('trainingFailed', { reason: error.message }));
  }, TICK_MS);
  return {
    desk,
    key: new TrainerKey(setup.trainerKey),
    stop: () => {
      clearInterval(timer);
      store.close();
    },
  };
}

/** Training and real welds never lie in one store. */
function refuseRealWelds({ store, settings }: OpenTrainingOptions): void {
  if (![...store.streamStates(), ...store.rigs()].some(({ origin }) => origin === 'real')) return;
  throw new ProgramError(
    `The data directory ${settings.data} holds real welds: give training a directory of its own with --data.`,
    EXIT.configuration,
  );
}

/** As last heard, and as far back as its travel was then. */
function alongMm(board: Pick<RigBoard, 'list'>, name: string, agoMs: number): number | null {
  const live = board.list().find(({ rig }) => rig === name)?.live;
  if (!live?.position) return null;
  const { travelSpeed } = live.values;
  if (agoMs > 0 && travelSpeed === null) return null;
  return Math.max(0, live.position.alongMm - ((travelSpeed ?? 0) * agoMs) / 1000);
}
