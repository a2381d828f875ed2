/** One edge, assembled: store, clock, engine, source, publisher, timers. start() and stop() do everything. */
import { performance } from 'node:perf_hooks';
import type { SourceAnnouncement } from '#core/frame/frame-decoder';
import type { Health } from '#core/messages/health';
import type { PassEngine } from '#core/pass/engine-api';
import { EXIT, ProgramError } from '#core/program/program-error';
import { withBlackBox } from './black-box/with-black-box.ts';
import { Capture } from './capture/capture.ts';
import { DriftKeeper } from './capture/drift-keeper.ts';
import { Recorder } from './capture/recorder.ts';
import { resumePass } from './capture/resume-pass.ts';
import { Stamper } from './capture/stamper.ts';
import { WorkDesk } from './capture/work-desk.ts';
import { bootId } from './clock/boot-id.ts';
import { createEdgeClock } from './clock/edge-clock.ts';
import type { RecordClock } from './clock/record-clock.ts';
import { SyncWatch, systemSyncProbe } from './clock/sync-watch.ts';
import type { EdgeConfig } from './config/edge-config.ts';
import { createKeepers, type Keepers } from './create-keepers.ts';
import { healthReport } from './health-report.ts';
import { infoReport } from './info-report.ts';
import type { InternalEvents } from './internal-events.ts';
import { OutboxClient } from './outbox/outbox-client.ts';
import type { OpenedStore, StatePatch } from './outbox/outbox-types.ts';
import { StateSaver } from './outbox/state-saver.ts';
import { createPublisher } from './publisher/create-publisher.ts';
import type { Publisher } from './publisher/publisher.ts';
import { createSealer, openKeyOf } from './seal/create-sealer.ts';
import type { SealKey } from './seal/seal-key.ts';
import type { Sealer } from './seal/sealer.ts';
import { openSource } from './source/open-source.ts';
import type { Source } from './source/source.ts';
import { systemSourceClock } from './source/source-clock.ts';
import { Timers } from './timers.ts';
import { within } from './within.ts';

const LIVE_MS = 100;
const CLOCK_CHECK_MS = 1000;
const HEALTH_MS = 10_000;
/** A device that does not let go must not cost the last batch, ms. */
const SOURCE_STOP_MS = 1000;

export interface EdgeProcessOptions {
  readonly config: EdgeConfig;
  readonly events: InternalEvents;
  /** Nothing can go on: end with this code. */
  readonly onFatal: (error: unknown) => void;
}

/** What exists once the store is open. */
interface Running extends Keepers {
  readonly store: OpenedStore;
  readonly clock: RecordClock;
  readonly recorder: Recorder;
  readonly stamper: Stamper;
  readonly drift: DriftKeeper;
  readonly engine: PassEngine;
  readonly capture: Capture;
  readonly publisher: Publisher;
  readonly key: SealKey;
  readonly sealer: Sealer;
  readonly source: Source;
}

export class EdgeProcess {
  private readonly options: EdgeProcessOptions;
  private readonly outbox: OutboxClient;
  private readonly sync = new SyncWatch(systemSyncProbe);
  private readonly startedMs = performance.now();
  private running: Running | null = null;
  private readonly timers = new Timers();
  private announced: SourceAnnouncement | null = null;

  constructor(options: EdgeProcessOptions) {
    this.options = options;
    const { storePath, requiredStores, storeBudget } = options.config;
    this.outbox = new OutboxClient({ path: storePath, requiredStores, budget: storeBudget });
  }

  /** Opens the store first: nothing is captured that could not be kept. Rejects with StoreError. */
  async start(): Promise<void> {
    const { config, events } = this.options;
    const store = await this.outbox.open();
    if (store.modeFixed) events.emit('storeModeFixed', { path: config.storePath });
    if (store.quarantine) events.emit('storeQuarantined', { ...store.quarantine });
    await this.sync.start();
    const running = this.assemble(store);
    this.running = running;
    const { capture, recorder, publisher, sealer, storage, source, keeper } = running;
    await resumePass({ ...running, outbox: this.outbox, committedSeq: store.committedSeq, events });
    if (store.quarantine) {
      const { reason, movedTo } = store.quarantine;
      const text = `the store was damaged (${reason}) and moved aside; a new stream begins`;
      capture.tell({ type: 'storage', text, data: { movedTo } });
    }
    this.publishInfo();
    const collect = (): void => source.collect?.();
    this.timers.everyWith(collect, config.batchMs, () => recorder.closeBatch());
    this.timers.everyWith(collect, LIVE_MS, () => {
      capture.tick();
      publisher.lane.tick();
    });
    this.timers.every(HEALTH_MS, () => this.publishHealth());
    keeper.tick();
    this.timers.every(CLOCK_CHECK_MS, () => {
      sealer.tick();
      keeper.tick();
    });
    publisher.start();
    sealer.start();
    storage.start();
    running.blackBox?.start();
    source.start();
    this.publishHealth();
    events.emit('started', { stream: store.stream, committed: store.committedSeq, path: config.storePath });
  }

  /** Source first, then the last batch, then the broker, then the store: nothing is left in RAM. */
  async stop(): Promise<void> {
    const { running } = this;
    this.options.events.emit('stopping');
    this.timers.stop();
    this.sync.stop();
    if (running) {
      running.storage.stop();
      running.source.collect?.();
      await new Promise(setImmediate);
      await within(SOURCE_STOP_MS, running.source.stop());
      running.capture.finish();
      await running.recorder.drain();
      await running.sealer.finish();
      await running.recorder.drain();
      running.recorder.stop();
      await running.publisher.stop();
      await within(SOURCE_STOP_MS, running.blackBox?.stop() ?? Promise.resolve());
    }
    await this.outbox.close();
  }

  /** Resolves with true when the store's thread has answered: it alone writes, and answers in order. */
  getsOn = (): Promise<boolean> => this.outbox.stats().then(() => true);

  /** Says that recording has failed while there still is a connection; the program ends right after. */
  lastWord(): void {
    this.running?.capture.tick();
  }

  private assemble(store: OpenedStore): Running {
    const { config, events, onFatal } = this.options;
    const { address, origin } = config;
    const monotonicMs = (): number => performance.now();
    const key = openKeyOf(config.storePath, store.state, events);
    const { clock, meter } = createEdgeClock(
      {
        monotonicNs: () => process.hrtime.bigint(),
        wallMs: () => Date.now(),
        syncState: () => this.sync.state(),
        bootId: bootId(),
      },
      store,
      { stores: config.requiredStores, monotonicMs, ask: id => publisher.askTime({ origin, id }) },
    );
    const stamper = new Stamper({ address, origin, stream: store.stream, clock, state: store.state });
    const saver = new StateSaver(this.outbox, onFatal);
    const save = (patch: StatePatch): void => saver.save(patch);
    const drift = new DriftKeeper({ state: store.state, save, events, rig: config });
    const engine = drift.createEngine(config.engine, stamper.engineResume());
    const recorder: Recorder = new Recorder({
      outbox: this.outbox,
      clock,
      events,
      monotonicMs,
      header: () => ({
        origin,
        ...address,
        at: clock.utcOf(clock.nowUs()),
        clock: clock.reading(),
        utcMinusRecordMs: clock.utcMinusRecordMs(),
      }),
      resumeState: (batchEvents, passes) => ({
        ...stamper.resumeState(),
        ...drift.resumeState(),
        ...sealer.resumeState(batchEvents, passes),
      }),
      onCommitted: (lastSeq, committedEvents, passes, grew) => {
        sealer.committed(lastSeq, passes, grew);
        publisher.lane.committed(lastSeq);
        publisher.announce(committedEvents, passes);
      },
      onGap: ({ fromUs, toUs, samples }) => {
        const seconds = ((toUs - fromUs) / 1e6).toFixed(1);
        const text = `${seconds} s of samples were not recorded: the store could not keep up`;
        capture.tell({ type: 'signalGap', text, data: { cause: 'storage', fromUs, toUs, samples } });
      },
      onFailed: onFatal,
    });
    const desk = new WorkDesk({
      state: store.state,
      save,
      assign: assignment => engine.assign(assignment),
      tell: event => capture.tell(event),
      events,
    });
    const capture: Capture = new Capture({
      origin,
      engine,
      clock,
      recorder,
      stamper,
      desk,
      drift,
      events,
      monotonicMs,
      backlog: () => publisher.lane,
      quarantine: store.quarantine,
      storage: () => keepers.storage.state,
      onLive: live => publisher.live(live),
      onAlarms: alarms => publisher.alarms(alarms),
      onSourceChange: () => this.publishHealth(),
      onAnnounced: announcement => this.announce(announcement),
    });
    const publisher: Publisher = createPublisher({
      config,
      store,
      outbox: this.outbox,
      clock,
      meter,
      capture: () => capture,
      events,
      monotonicMs,
      onConnection: () => this.publishHealth(),
      onFailed: onFatal,
    });
    const sealer = createSealer({
      config,
      store,
      key,
      batches: this.outbox,
      clock,
      events,
      monotonicMs,
      recorder: () => recorder,
      capture: () => capture,
      onFailed: onFatal,
    });
    const keepers: Keepers = createKeepers({
      config,
      stream: store.stream,
      outbox: this.outbox,
      clock,
      meter,
      recorder,
      capture,
      events,
      onFailed: onFatal,
    });
    desk.resume();
    const source = openSource(
      config.source,
      systemSourceClock(() => clock.nowUs(), store.lastRecordUs),
      withBlackBox(capture, keepers.blackBox),
    );
    const kept = { store, clock, recorder, stamper, drift, engine, key };
    return { ...kept, capture, publisher, sealer, source, ...keepers };
  }

  private announce(announcement: SourceAnnouncement): void {
    const { config, events, onFatal } = this.options;
    this.announced = announcement;
    if (announcement.simulated === true && config.origin === 'real') {
      const text = 'the device says its data is simulated, but rig.origin is "real": nothing is recorded';
      this.running?.capture.halt();
      onFatal(new ProgramError(text, EXIT.configuration));
      return;
    }
    if (announcement.simulated === false && config.origin === 'simulated') events.emit('originDiffers');
    this.publishInfo();
  }

  private publishInfo(): void {
    const { running, announced } = this;
    if (!running) return;
    running.publisher.info(infoReport({ ...running, config: this.options.config, announced }));
  }

  private publishHealth(): void {
    void this.health().then(
      health => health && this.running?.publisher.health(health),
      error => this.options.onFatal(error),
    );
  }

  private async health(): Promise<Health | null> {
    const { running } = this;
    if (!running || !this.timers.running) return null;
    const { config, events } = this.options;
    const stats = await this.outbox.stats();
    return healthReport({ ...running, config, events, stats, uptimeMs: performance.now() - this.startedMs });
  }
}
