/** The dashboard's HTTP server in this process, on a fresh store and without a broker. */
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { onTestFinished } from 'vitest';
import { PLAUSIBLE_RIG } from '#core/procedure/impossible';
import { Alarms } from '../../dashboard/server/alarms/alarms.ts';
import { HttpServer } from '../../dashboard/server/api/http-server.ts';
import { JournalFacts } from '../../dashboard/server/api/journal-facts.ts';
import { Access } from '../../dashboard/server/auth/open-access.ts';
import { exportArchive } from '../../dashboard/server/export/export-archive.ts';
import { ExportDesk } from '../../dashboard/server/export/export-desk.ts';
import type { RunExport } from '../../dashboard/server/export/export-runner.ts';
import { StoreWatch } from '../../dashboard/server/health/store-watch.ts';
import { TruckConditions } from '../../dashboard/server/health/truck-conditions.ts';
import { truckStoreErrors } from '../../dashboard/server/health/truck-store-errors.ts';
import { inSteps } from '../../dashboard/server/in-steps.ts';
import { Dispatch } from '../../dashboard/server/ingest/dispatch.ts';
import { Ingest } from '../../dashboard/server/ingest/ingest.ts';
import { RecordIntake } from '../../dashboard/server/ingest/record-intake.ts';
import { SealCheck } from '../../dashboard/server/ingest/seal-check.ts';
import { Announcements } from '../../dashboard/server/live/announcements.ts';
import { ReadinessTeller } from '../../dashboard/server/live/readiness-teller.ts';
import { RigBoard } from '../../dashboard/server/live/rig-board.ts';
import { StreamHub } from '../../dashboard/server/live/stream-hub.ts';
import type { EnrolmentDesk } from '../../dashboard/server/machines/enrolment-desk.ts';
import { WindowCache } from '../../dashboard/server/review/window-cache.ts';
import { SqliteStore } from '../../dashboard/server/store/sqlite-store.ts';
import { StoredSamples } from '../../dashboard/server/store/stored-samples.ts';
import { openTraining, type TrainingSetup } from '../../dashboard/server/training/open-training.ts';
import { verifyReport } from '../../dashboard/server/verify/verify-report.ts';
import { verifyStore } from '../../dashboard/server/verify/verify-store.ts';
import { idleLink } from './idle-link.ts';
import { pageFolder } from './page-folder.ts';
import { programRequests } from './program-requests.ts';
import { PROGRAM_RIGHTS, PROGRAM_TOKEN } from './program-token.ts';
import { recordedEvents } from './recorded-events.ts';
import { tempDir } from './temp-dir.ts';
import { testMachines } from './test-machines.ts';

export interface TestDashboard {
  readonly url: string;
  readonly access: Access;
  readonly store: SqliteStore;
  readonly desk: EnrolmentDesk;
  /** Where it keeps what it keeps. */
  readonly data: string;
  /** Follows the lesson now instead of within a second; null where there is no training. */
  readonly tick: (() => Promise<void>) | null;
  readonly counts: Record<string, number>;
  readonly conditions: TruckConditions;
  /** Errors that would have ended the program. */
  readonly fatal: readonly Error[];
  /** As if it had come over MQTT; records are committed when `settle` resolves. */
  readonly receive: (topic: string, message: unknown) => void;
  readonly settle: () => Promise<void>;
  /** Without a session: the dashboard is open for reading. */
  readonly get: (path: string, headers?: Record<string, string>) => Promise<Response>;
  /** As the program of program-token.ts, which enters in the name of the author it says. */
  readonly remove: (path: string, headers?: Record<string, string>) => Promise<Response>;
  readonly post: (path: string, body: unknown, headers?: Record<string, string>) => Promise<Response>;
}

export interface TestDashboardOptions {
  /** Whether it may be read without a session; true unless said otherwise. */
  readonly openReading?: boolean;
  readonly demo?: boolean;
  /** Folder of a built page instead of a stand-in. */
  readonly page?: string;
  /** Clocks of sessions, codes and delays. */
  readonly now?: () => Date;
  readonly monotonicMs?: () => number;
  /** IANA zone of the job; UTC unless said otherwise. */
  readonly zone?: string;
  /** Makes it a dashboard of training. */
  readonly training?: TrainingSetup;
}

export async function startTestDashboard(options: TestDashboardOptions = {}): Promise<TestDashboard> {
  const directory = tempDir();
  const { report, counts } = recordedEvents();
  const now = () => new Date();
  const store = new SqliteStore({ directory: join(directory, 'data'), sqlite: Sqlite, report, now });
  store.open();
  const announcements = new Announcements('run1');
  const hub = new StreamHub({ announcements, maxClients: 5, report, now, rigs: () => board.list() });
  const alarms = new Alarms({
    table: store.alarms,
    now,
    monotonicMs: () => performance.now(),
    report,
    isLinked: () => true,
    onChange: picture => hub.alarms(picture),
  });
  alarms.start();
  const board: RigBoard = new RigBoard({
    store,
    maxRigs: 5,
    now,
    report,
    onRig: rig => {
      hub.rig(rig);
      alarms.rig(rig);
    },
    onLive: (address, live) => {
      hub.live(address, live);
      alarms.live(address, live);
    },
    onOrigin: () => {},
  });
  board.start();
  const dispatch = new Dispatch({
    speaksToEdges: true,
    store,
    storeName: 'truck',
    board,
    link: idleLink(report),
    utcMs: Date.now,
  });
  const conditions = new TruckConditions(now);
  conditions.onChange = state => hub.truck(state);
  const fatal: Error[] = [];
  const { onPaused, onStoreError } = truckStoreErrors({
    set: conditions.set,
    onFatal: error => fatal.push(error),
  });
  const sealCheck = new SealCheck({ store, report, now, set: conditions.set, onStoreError });
  sealCheck.start();
  const watch = new StoreWatch({
    directory: join(directory, 'data'),
    store: store.health,
    set: conditions.set,
    report,
    now,
    onStoreError,
  });
  const intake = new RecordIntake({
    store,
    report,
    now,
    monotonicMs: () => performance.now(),
    onStored: record => ingest.stored(record),
    onStream: () => sealCheck.wake(),
    onPaused,
    onFatal: error => {
      throw error;
    },
  });
  const ingest = new Ingest({
    store: 'truck',
    report,
    board,
    intake,
    hub,
    announcements,
    onStoreError,
    utcMs: Date.now,
    refusesReal: options.training !== undefined,
    answerClock: dispatch.answerClock,
  });
  const facts = new JournalFacts({ store, board, now, zone: options.zone ?? 'UTC' });
  const teller = new ReadinessTeller({
    readiness: rigs => facts.readinessOf(rigs),
    rigs: () => board.list(),
    announcements,
    hub,
  });
  let nextId = 0;
  const newId = () => `id-${++nextId}`;
  const system = () => ({
    serverUtc: now().toISOString(),
    timeZone: options.zone ?? 'UTC',
    software: 'test',
    uptimeS: 1,
    store: { name: 'truck', ...store.size(), room: watch.room },
    broker: { url: 'mqtt://127.0.0.1:1', embedded: false, connected: false },
    streams: [],
    counters: counts,
  });
  // In this process instead of one of its own: the same archive.
  const runExport: RunExport = (request, onProgress) => {
    const windows = new WindowCache();
    return exportArchive(
      { store, board, facts, now, system, windows, software: 'test' },
      request,
      onProgress,
    );
  };
  const exportDesk = new ExportDesk({
    directory: join(directory, 'data', 'exports'),
    run: runExport,
    keepH: 1,
    mostBytes: 50_000_000,
    leaveBytes: 0,
    report,
    now,
    newId,
  });
  exportDesk.start();
  const training = options.training
    ? openTraining({
        settings: { data: join(directory, 'data') },
        sqlite: Sqlite,
        setup: options.training,
        store,
        board,
        hub,
        announcements,
        report,
        now,
        newId,
      })
    : null;
  const access = new Access({
    store,
    programs: [{ name: 'test', token: PROGRAM_TOKEN, rights: PROGRAM_RIGHTS }],
    openReading: options.openReading ?? true,
    demo: options.demo ?? false,
    training: options.training !== undefined,
    // A cheap hash: what it costs is not what is tested here.
    cost: { N: 16, r: 1, p: 1 },
    now: options.now ?? now,
    monotonicMs: options.monotonicMs ?? (() => performance.now()),
    newId,
    report,
  });
  const machines = testMachines(join(directory, 'data'), {
    now: options.now ?? now,
    report,
    monotonicMs: options.monotonicMs ?? (() => performance.now()),
  });
  const http = new HttpServer({
    context: {
      training,
      machines,
      exports: { desk: exportDesk, run: runExport },
      store,
      samples: new StoredSamples(store),
      ...{ board, hub },
      announcements,
      dispatch,
      facts,
      alarms: alarms.desk,
      access,
      report,
      verifyWhole: async () =>
        verifyReport(await inSteps(verifyStore(store.verification, new Set(store.trustedKeys()))), {
          at: now().toISOString(),
          software: 'test',
          scope: 'store',
          joint: null,
        }),
      now,
      rigRange: PLAUSIBLE_RIG,
      newId,
      system,
      onStoreError,
      tellReadiness: address => teller.tell(address),
      onSealKeyDecided: () => sealCheck.decided(),
      warnings: () => [
        'No connection to the broker: nothing new arrives.',
        ...conditions.state().conditions.map(({ text }) => text),
      ],
      metrics: async () => ({ text: '# EOF\n', contentType: 'text/plain' }),
    },
    listen: { host: '127.0.0.1', port: 0 },
    hostNames: [],
    page: options.page ?? pageFolder(directory),
  });
  const port = await http.start();
  onTestFinished(async () => {
    alarms.stop();
    access.stop();
    await exportDesk.stop();
    await http.stop();
    training?.stop();
    await sealCheck.stop();
    store.close();
    machines.close();
  });
  const url = `http://127.0.0.1:${port}`;
  return {
    url,
    access,
    store,
    desk: machines.desk,
    data: join(directory, 'data'),
    tick: training && (() => training.desk.tick()),
    counts,
    conditions,
    fatal,
    receive: (topic, message) => {
      ingest.receive(topic, Buffer.from(typeof message === 'string' ? message : JSON.stringify(message)));
    },
    settle: async () => {
      while (intake.waitingCount > 0) await new Promise(resolve => setImmediate(resolve));
      await sealCheck.settled();
    },
    ...programRequests(url),
  };
}
