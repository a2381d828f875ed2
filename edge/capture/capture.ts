/**
 * Samples → engine → recorder, and what the edge knows of itself → live summary and alarms. Owns no socket
 * and no file: source, store and publisher are handed in.
 */

import type { SourceAnnouncement } from '#core/frame/frame-decoder';
import type { Alarms } from '#core/messages/alarms';
import type { Assignment } from '#core/messages/assignment';
import type { Origin } from '#core/messages/common';
import type { Live, SourceState } from '#core/messages/live';
import type { Watch } from '#core/messages/watch';
import type { PassEngine } from '#core/pass/engine-api';
import type { Procedure } from '#core/procedure/procedure';
import type { SampleChunk } from '#core/sample/chunk';
import type { RecordClock } from '../clock/record-clock.ts';
import type { InternalEvents } from '../internal-events.ts';
import type { Quarantine } from '../outbox/outbox-types.ts';
import type { StorageState } from '../outbox/storage-watch.ts';
import type { RestartCause, SourceHandlers, SourceStateReport } from '../source/source.ts';
import { Conditions } from './conditions.ts';
import type { DriftKeeper } from './drift-keeper.ts';
import { liveMessage } from './live-message.ts';
import type { Recorder } from './recorder.ts';
import type { ShellEvent, Stamper } from './stamper.ts';
import { ToldSeldom } from './told-seldom.ts';
import type { WorkDesk } from './work-desk.ts';

/** Only a silence longer than the jitter of any link is told to the engine, ms. */
const SILENCE_MS = 500;
/** A line that loses frames, and a device that begins again, all the time are told no oftener. */
const LOST_EVERY_MS = 1000;
const RESTART_EVERY_MS = 10_000;

const RESTART_TEXTS: Readonly<Record<RestartCause, string>> = {
  bootChanged: 'the device has started anew',
  jumpedBack: 'the time and the frame counter of the device fell back: it has started anew',
  reanchored:
    'the time of the device and the clock here have come apart: its samples are placed anew by their arrival',
};

export interface CaptureOptions {
  readonly origin: Origin;
  readonly engine: PassEngine;
  readonly clock: RecordClock;
  readonly recorder: Recorder;
  readonly stamper: Stamper;
  readonly desk: WorkDesk;
  readonly drift: Pick<DriftKeeper, 'take'>;
  readonly events: InternalEvents;
  readonly monotonicMs: () => number;
  /** Where the record lane stands. */
  readonly backlog: () => { readonly waiting: number; readonly stuckMs: number };
  readonly quarantine: Quarantine | null;
  /** How the store's room stands; null before it is known. */
  readonly storage: () => StorageState | null;
  readonly onLive: (live: Live) => void;
  readonly onAlarms: (alarms: Alarms) => void;
  readonly onSourceChange: () => void;
  readonly onAnnounced: (announcement: SourceAnnouncement) => void;
}

export class Capture implements SourceHandlers {
  private readonly options: CaptureOptions;
  private readonly conditions = new Conditions();
  private source: { state: SourceState; sinceUs: number; detail: string | null };
  private lastSampleUs: number | null = null;
  private lastArrivalMs: number | null = null;
  private arcWasOn = false;
  private halted = false;
  private alarmsText = '';
  private readonly lost: ToldSeldom;
  private readonly restarts: Readonly<Record<RestartCause, ToldSeldom>>;

  constructor(options: CaptureOptions) {
    this.options = options;
    const { monotonicMs } = options;
    this.lost = new ToldSeldom({
      ...{ everyMs: LOST_EVERY_MS, monotonicMs },
      tell: (...lost) => this.tellLost(...lost),
    });
    const restart = (cause: RestartCause): ToldSeldom =>
      new ToldSeldom({
        ...{ everyMs: RESTART_EVERY_MS, monotonicMs },
        tell: (times, atUs) => this.tellRestart(cause, times, atUs),
      });
    this.restarts = {
      bootChanged: restart('bootChanged'),
      jumpedBack: restart('jumpedBack'),
      reanchored: restart('reanchored'),
    };
    this.source = { state: 'absent', sinceUs: options.clock.nowUs(), detail: null };
  }

  get sourceState(): SourceState {
    return this.source.state;
  }

  readonly onChunk = (chunk: SampleChunk): Promise<void> | undefined => {
    if (chunk.n === 0 || this.halted) return undefined;
    const { engine, recorder } = this.options;
    this.lastArrivalMs = this.options.monotonicMs();
    this.lastSampleUs = chunk.tUs[chunk.n - 1]!;
    recorder.addSamples(chunk);
    engine.push(chunk);
    this.takeEffects();
    return recorder.pressure();
  };

  readonly onState = ({ state, sinceUs, detail, problem }: SourceStateReport): void => {
    const changed = state !== this.source.state;
    if (!changed && detail === this.source.detail) return;
    // Without data the line may be opened again and again: it all began when the last sample had come.
    const silentMs = state === 'streaming' ? null : this.silentMs();
    const silentSinceUs = silentMs === null ? null : this.options.clock.nowUs() - Math.round(silentMs * 1000);
    this.source = { state, sinceUs: silentSinceUs ?? sinceUs, detail };
    if (changed) {
      this.options.events.emit('sourceState', { state, detail, problem });
      this.tell({ type: 'sourceState', text: detail ?? `source: ${state}`, data: { state, problem } });
    }
    this.options.onSourceChange();
  };

  readonly onAnnounce = (announcement: SourceAnnouncement): void => {
    const { samplePeriodUs } = announcement;
    if (samplePeriodUs !== null) this.options.engine.setSamplePeriod(samplePeriodUs / 1e6);
    this.options.onAnnounced(announcement);
  };

  readonly onRestart = (cause: RestartCause, atUs: number): void => {
    this.options.events.emit('deviceRestarted', { cause });
    this.restarts[cause].add(1, atUs);
  };

  readonly onAhead = (aheadUs: number, atUs: number): void => {
    const aheadS = Math.round(aheadUs / 1e6);
    this.options.events.emit('deviceAhead', { aheadS });
    const text = `the time of the device runs too fast: its samples are dated ${aheadS} s later than they were measured`;
    this.tell({ type: 'deviceRestart', text, data: { cause: 'ranAhead', aheadS } }, atUs);
  };

  readonly onFramesLost = (count: number, atUs: number): void => {
    this.options.events.emit('framesLost', { count }, count);
    this.lost.add(count, atUs);
  };

  assignment(assignment: Assignment): void {
    this.options.desk.take(assignment);
    this.takeEffects();
  }

  procedure(procedure: Procedure): void {
    this.options.desk.takeProcedure(procedure);
    this.takeEffects();
  }

  watch(watch: Watch): void {
    this.options.drift.take(watch);
  }

  /** From now on nothing that the source sends is recorded. */
  halt(): void {
    this.halted = true;
  }

  /** Puts an event of the edge itself on record. */
  tell(event: ShellEvent, atUs?: number): void {
    this.options.recorder.addEvent(this.options.stamper.shellEvent(event, atUs));
  }

  /** Ten times a second: silence, live summary, alarms. */
  tick(): void {
    for (const seldom of this.told()) seldom.tick();
    const silentMs = this.silentMs();
    if (silentMs !== null && silentMs > SILENCE_MS && this.source.state !== 'ended') {
      this.options.engine.silence(this.lastSampleUs! + Math.round(silentMs * 1000));
      this.takeEffects();
    }
    const live = this.live(silentMs);
    if (live.arc !== 'noData') this.arcWasOn = live.arc === 'on';
    this.options.onLive(live);
    this.updateAlarms(live, silentMs);
  }

  /** The recording ends here: closes what is open. */
  finish(): void {
    for (const seldom of this.told()) seldom.flush();
    this.options.engine.finish();
    this.takeEffects();
  }

  private told(): ToldSeldom[] {
    return [this.lost, ...Object.values(this.restarts)];
  }

  private tellLost(count: number, atUs: number, times: number): void {
    const text = `${count} ${count === 1 ? 'frame' : 'frames'} of the device did not arrive`;
    this.tell({ type: 'framesLost', text, data: { count, times } }, atUs);
  }

  private tellRestart(cause: RestartCause, times: number, atUs: number): void {
    const again = times === 1 ? '' : ` (${times} times since it was last told)`;
    this.tell({ type: 'deviceRestart', text: RESTART_TEXTS[cause] + again, data: { cause, times } }, atUs);
  }

  private silentMs(): number | null {
    return this.lastArrivalMs === null ? null : this.options.monotonicMs() - this.lastArrivalMs;
  }

  private live(silentMs: number | null): Live {
    const { options } = this;
    return liveMessage({
      origin: options.origin,
      clock: options.clock,
      engine: options.engine.live(),
      source: this.source,
      silentMs,
      buffer: {
        waiting: options.backlog().waiting,
        storedToUs: options.recorder.storedToUs,
        recording: options.recorder.state,
      },
      assignment: options.desk.current(),
    });
  }

  private updateAlarms(live: Live, silentMs: number | null): void {
    const { options } = this;
    const backlog = options.backlog();
    const conditions = this.conditions.update({
      nowUs: options.clock.nowUs(),
      assignment: options.desk.current(),
      passIndex: live.pass?.index ?? null,
      position: live.position,
      outOfRange: live.outOfRange,
      passMismatch: live.passMismatch ?? null,
      drifting: live.drifting ?? [],
      arcWasOn: this.arcWasOn,
      silentMs,
      held: live.arc === 'noData' && silentMs !== null && silentMs < SILENCE_MS,
      sourceState: this.source.state,
      recording: options.recorder.state,
      waiting: backlog.waiting,
      stuckMs: backlog.stuckMs,
      quarantine: options.quarantine,
      storage: options.storage(),
    });
    const text = JSON.stringify(conditions);
    if (text === this.alarmsText) return;
    this.alarmsText = text;
    options.onAlarms({
      origin: options.origin,
      at: options.clock.utcOf(options.clock.nowUs()),
      conditions: conditions.map(one => ({ ...one, sinceUtc: options.clock.utcOf(one.sinceUs) })),
    });
  }

  private takeEffects(): void {
    const { engine, recorder, stamper } = this.options;
    for (const effect of engine.drain()) {
      if (effect.kind === 'event') recorder.addEvent(stamper.event(effect));
      else recorder.addPass(stamper.pass(effect));
    }
  }
}
