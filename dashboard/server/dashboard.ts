/** The whole dashboard: broker, ingest, store, live and api, put together, started and stopped. */
import { randomBytes, randomUUID } from 'node:crypto';
import { fileURLToPath } from 'node:url';
import { Alarms } from './alarms/alarms.ts';
import { hostInUrl } from './api/host-in-url.ts';
import { HttpServer } from './api/http-server.ts';
import { JournalFacts } from './api/journal-facts.ts';
import { type Access, openAccess } from './auth/open-access.ts';
import type { DashboardAddresses, DashboardOptions } from './dashboard-options.ts';
import { openExports } from './export/open-exports.ts';
import { TruckHealth } from './health/truck-health.ts';
import { Dispatch } from './ingest/dispatch.ts';
import { Ingest } from './ingest/ingest.ts';
import { MqttLink, ONLOOKER_SUBSCRIPTIONS } from './ingest/mqtt-link.ts';
import { RecordIntake } from './ingest/record-intake.ts';
import { SealCheck } from './ingest/seal-check.ts';
import { Announcements } from './live/announcements.ts';
import { ReadinessTeller } from './live/readiness-teller.ts';
import { RigBoard } from './live/rig-board.ts';
import { StreamHub } from './live/stream-hub.ts';
import { type BrokerReached, TruckNetwork } from './machines/truck-network.ts';
import { Metrics } from './metrics.ts';
import type { OpenInflux } from './projection/open-influx.ts';
import { SettleSchedule } from './store/settle-schedule.ts';
import { SqliteStore } from './store/sqlite-store.ts';
import { StoredSamples } from './store/stored-samples.ts';
import { systemReader } from './system-state.ts';
import { openTraining } from './training/open-training.ts';
import { wholeCheck } from './verify/whole-check.ts';

export class Dashboard {
  private readonly options: DashboardOptions;
  private influx: OpenInflux | null = null;
  private access: Access | null = null;
  /** Whether it does what it is for; throws where the store cannot be read. */
  getsOn: () => boolean = () => true;
  /** Undoing what start() did, newest first. */
  private readonly stops: (() => void | Promise<void>)[] = [];

  constructor(options: DashboardOptions) {
    this.options = options;
  }

  async start(): Promise<DashboardAddresses> {
    try {
      return await this.startParts();
    } catch (error) {
      await this.stop();
      throw error;
    }
  }

  /** The code that makes the first administrator; null where there is one. */
  setUpCode(): string | null {
    const accounts = this.access?.accounts;
    return !accounts || accounts.hasAdministrator() ? null : accounts.setUpCode('console').code;
  }

  async stop(): Promise<void> {
    for (const stop of this.stops.splice(0).reverse()) await stop();
  }

  private async startParts(): Promise<DashboardAddresses> {
    const { settings, events, onFatal, program, training: setup } = this.options;
    const { report } = events;
    const startedMs = performance.now();
    const now = (): Date => new Date();
    const utcMs = (): number => Date.now();
    const run = randomBytes(4).toString('hex');

    const { default: sqlite } = await import('better-sqlite3');
    // Before anything that ticks: making certificates takes its time.
    const network = new TruckNetwork({
      ...{ settings, sqlite, report, now, set: (cause, stated) => health.set(cause, stated) },
      brokerProgram: this.options.brokerProgram ?? new URL('./broker.js', import.meta.url),
    });
    await network.open();
    const store = new SqliteStore({ directory: settings.data, sqlite, report, now });
    store.open();
    this.stops.push(() => store.close());

    const exports = openExports({ settings, program, report, now, newId: randomUUID });
    exports.desk.start();
    this.stops.push(() => exports.desk.stop());
    const announcements = new Announcements(run);
    const hub = new StreamHub({
      announcements,
      maxClients: settings.maxStreamClients,
      report,
      now,
      rigs: () => board.list(),
    });
    const alarms = new Alarms({
      table: store.alarms,
      now,
      monotonicMs: () => performance.now(),
      report,
      isLinked: () => link.connected,
      onChange: picture => hub.alarms(picture),
    });
    alarms.start();
    this.stops.push(() => alarms.stop());
    events.onEvent = (name, fields) => alarms.event(name, fields);
    const health = new TruckHealth({
      settings,
      store: store.health,
      report,
      now,
      onChange: state => {
        hub.truck(state);
        alarms.truck(state.conditions);
      },
      onFatal,
      program,
      counters: () => events.counters(),
    });
    this.getsOn = () => health.getsOn();
    health.start();
    this.stops.push(() => health.stop());
    const sealCheck = new SealCheck({
      store,
      report,
      now,
      set: health.set,
      onStoreError: health.onStoreError,
    });
    sealCheck.start();
    this.stops.push(() => sealCheck.stop());
    const settling = new SettleSchedule({ settling: store.settling, report, nowMs: utcMs });
    settling.start();
    this.stops.push(() => settling.stop());
    const board: RigBoard = new RigBoard({
      store,
      maxRigs: settings.maxRigs,
      presumedOrigin: setup ? 'simulated' : 'real',
      now,
      report,
      onRig: rig => {
        exports.infos.rig(rig);
        hub.rig(rig);
        alarms.rig(rig);
      },
      onLive: (address, live) => {
        hub.live(address, live);
        alarms.live(address, live);
      },
      onOrigin: address => dispatch.publishAssignment(address),
    });
    const intake = new RecordIntake({
      store,
      report,
      now,
      monotonicMs: () => performance.now(),
      onStored: record => ingest.stored(record),
      onStream: state => {
        dispatch.publishAck(state);
        sealCheck.wake();
      },
      onPaused: health.onPaused,
      onFatal,
    });
    health.follow(() => intake.waitingCount);
    const ingest = new Ingest({
      store: settings.store,
      report,
      board,
      intake,
      hub,
      announcements,
      onStoreError: health.onStoreError,
      answerClock: (address, ping, receivedMs) => dispatch.answerClock(address, ping, receivedMs),
      utcMs,
      refusesReal: setup !== null,
    });
    this.stops.push(() => network.stop());
    let broker: BrokerReached | null = null;
    const link: MqttLink = new MqttLink({
      url: () => broker?.url ?? '',
      credentials: () => broker?.credentials ?? {},
      ...(settings.follow === null ? {} : { subscriptions: ONLOOKER_SUBSCRIPTIONS }),
      store: settings.store,
      instance: run,
      report,
      random: Math.random,
      onMessage: ingest.receive,
      onConnected: () => dispatch.publishAll(),
    });
    const dispatch: Dispatch = new Dispatch({
      ...{ store, storeName: settings.store, board, link, utcMs },
      speaksToEdges: settings.follow === null,
    });
    board.start();
    for (const rig of settings.rigs) board.admit(rig, null, false);

    const facts = new JournalFacts({ store, board, now, zone: settings.timeZone });
    const { programs } = this.options;
    const access = openAccess({ settings, training: setup !== null }, { store, programs, now, report });
    this.access = access;
    this.stops.push(() => access.stop());
    const teller = new ReadinessTeller({
      readiness: rigs => facts.readinessOf(rigs),
      rigs: () => board.list(),
      announcements,
      hub,
    });
    teller.start();
    this.stops.push(() => teller.stop());
    const training =
      setup && openTraining({ settings, sqlite, setup, store, board, hub, announcements, report, now });
    if (training) this.stops.push(() => training.stop());
    const metrics = new Metrics({
      truck: {
        ...health.figures(),
        readers: () => hub.readerCount,
        readersThinned: () => hub.thinnedCount,
        readersWaitingBytes: () => hub.waitingBytes,
        brokerConnected: () => link.connected,
        projectionBehind: () => this.influx?.behind() ?? null,
      },
      edges: { rigs: () => board.list(), heardMs: rig => board.heardMs(rig) },
    });
    const http = new HttpServer({
      context: {
        store,
        samples: new StoredSamples(store, () => this.influx?.source ?? null),
        board,
        hub,
        announcements,
        dispatch,
        facts,
        alarms: alarms.desk,
        access,
        exports,
        machines: network,
        training,
        report,
        verifyWhole: wholeCheck(settings.data, program),
        now,
        newId: randomUUID,
        rigRange: { travelMmPerS: settings.travelRange, wireFeedMmPerS: settings.wireFeedRange },
        system: systemReader({
          settings,
          store,
          startedMs,
          now,
          room: () => health.room,
          broker: () => ({ url: broker?.shown ?? '', connected: link.connected }),
          counters: () => events.counters(),
        }),
        tellReadiness: address => teller.tell(address),
        onSealKeyDecided: () => sealCheck.decided(),
        onStoreError: health.onStoreError,
        warnings: () => [
          ...(link.connected ? [] : ['No connection to the broker: nothing new arrives.']),
          ...health.warnings(),
        ],
        metrics: () => metrics.read(),
      },
      listen: settings.http,
      hostNames: settings.hostNames,
      tls: network.serverTls,
      page: fileURLToPath(this.options.page ?? new URL('./web/', import.meta.url)),
    });
    // The broker's process starts while the page's server loads.
    const reached = network.reachBroker();
    // Awaited later; when another part fails first, that is what is told.
    reached.catch(() => {});
    network.onRenewed = tls => http.renew(tls);
    this.stops.push(() => http.stop());
    const httpPort = await http.start();
    await link.load();
    broker = await reached;
    // Stopped before the broker and after it last hears from it: acks of the last batch still go out.
    this.stops.push(async () => {
      await intake.stop();
      await link.stop();
    });
    await link.start();
    if (settings.influx !== null) await this.startInflux(settings.influx, store, now);
    if (settings.follow !== null) {
      const { follow } = await import('./fleet/follow.ts');
      this.stops.push(await follow({ url: settings.follow, store, intake, board, report }));
    }
    const scheme = network.serverTls ? 'https' : 'http';
    return { http: `${scheme}://${hostInUrl(settings.http.host)}:${httpPort}`, mqtt: broker.shown };
  }

  private async startInflux(url: string, store: SqliteStore, now: () => Date): Promise<void> {
    const { openInflux } = await import('./projection/open-influx.ts');
    const { settings, events } = this.options;
    const { data, samples } = settings;
    const influx = await openInflux({ url, directory: data, store, report: events.report, now, samples });
    this.influx = influx;
    this.stops.push(() => {
      this.influx = null;
      return influx.stop();
    });
    influx.start();
  }
}
