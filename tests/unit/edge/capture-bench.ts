import { type Alarms, alarmsSchema } from '#core/messages/alarms';
import type { RigEvent } from '#core/messages/event';
import { type Live, liveSchema } from '#core/messages/live';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import type { SampleChunk } from '#core/sample/chunk';
import { Capture } from '../../../edge/capture/capture.ts';
import { Recorder, type RecordingState } from '../../../edge/capture/recorder.ts';
import { Stamper } from '../../../edge/capture/stamper.ts';
import { WorkDesk } from '../../../edge/capture/work-desk.ts';
import { createRecordClock } from '../../../edge/clock/record-clock.ts';
import type { InternalEvents } from '../../../edge/internal-events.ts';

export const T0 = Date.UTC(2026, 5, 1);
const quiet: InternalEvents = { emit: () => undefined, counters: () => ({}) };

/** The capture of an edge with a clock and a source that do as they are told. */
export class CaptureBench {
  ms = 0;
  waiting = 0;
  stuckMs = 0;
  readonly lives: Live[] = [];
  readonly alarms: Alarms[] = [];
  readonly eventTypes: string[] = [];
  readonly eventTexts: string[] = [];
  readonly recorded: RigEvent[] = [];
  readonly capture: Capture;
  recording: RecordingState = 'ok';
  private sampleUs = T0 * 1000;
  private readonly wobble = { n: 0 };

  constructor() {
    const clock = createRecordClock(
      {
        monotonicNs: () => BigInt(Math.round(this.ms * 1e6)),
        wallMs: () => T0 + this.ms,
        syncState: () => 'synced',
      },
      { lastRecordUs: null, lastUtcMs: null },
    );
    const engine = createPassEngine(DEFAULT_ENGINE_SETTINGS);
    const stamper = new Stamper({
      address: { site: 's', rig: 'r' },
      origin: 'simulated',
      stream: 'a'.repeat(32),
      clock,
      state: {},
    });
    const recorder = new Recorder({
      outbox: { append: () => new Promise(() => undefined) },
      clock,
      events: quiet,
      monotonicMs: () => this.ms,
      header: () => {
        throw new Error('no batch is closed here');
      },
      resumeState: () => ({}),
      onCommitted: () => undefined,
      onGap: () => undefined,
      onFailed: () => undefined,
    });
    Object.defineProperty(recorder, 'state', { get: () => this.recording });
    const addEvent = recorder.addEvent.bind(recorder);
    recorder.addEvent = event => {
      this.eventTypes.push(event.type);
      this.eventTexts.push(event.text);
      this.recorded.push(event);
      addEvent(event);
    };
    const desk = new WorkDesk({
      state: {},
      save: () => undefined,
      assign: work => engine.assign(work),
      tell: event => this.capture.tell(event),
      events: quiet,
    });
    this.capture = new Capture({
      origin: 'simulated',
      engine,
      clock,
      recorder,
      stamper,
      desk,
      drift: { take: () => false },
      events: quiet,
      monotonicMs: () => this.ms,
      backlog: () => ({ waiting: this.waiting, stuckMs: this.stuckMs }),
      quarantine: null,
      storage: () => null,
      onLive: live => this.lives.push(liveSchema.parse(live)),
      onAlarms: alarms => this.alarms.push(alarmsSchema.parse(alarms)),
      onSourceChange: () => undefined,
      onAnnounced: () => undefined,
    });
    this.state('streaming');
  }

  state(state: 'streaming' | 'stalled' | 'opening' | 'ended'): void {
    this.capture.onState({ state, sinceUs: T0 * 1000 + this.ms * 1000, detail: null, problem: null });
  }

  /** `seconds` of samples at 50 Hz as they would arrive. */
  weld(seconds: number, currentA: number, wobbles = true): void {
    for (let i = 0; i < seconds * 10; i++) {
      const n = 5;
      const chunk: SampleChunk = {
        n,
        tUs: Float64Array.from({ length: n }, (_, k) => this.sampleUs + k * 20_000),
        lengthUs: null,
        columns: {
          weldingCurrent: Float64Array.from(
            { length: n },
            () => currentA + (wobbles ? this.wobble.n++ % 7 : 0),
          ),
          arcVoltage: new Float64Array(n).fill(20),
          wireFeedSpeed: new Float64Array(n).fill(currentA > 0 ? 100 : 0),
          travelSpeed: new Float64Array(n).fill(8),
        },
      };
      this.sampleUs += n * 20_000;
      this.ms += 100;
      void this.capture.onChunk(chunk);
      this.capture.tick();
    }
  }

  /** The device's time runs ahead of this machine's from now on, by so much more. */
  ahead(seconds: number): void {
    this.sampleUs += seconds * 1e6;
  }

  wait(seconds: number): void {
    for (let i = 0; i < seconds * 10; i++) {
      this.ms += 100;
      this.sampleUs += 100_000;
      this.capture.tick();
    }
  }

  get causes(): string[] {
    return this.alarms.at(-1)?.conditions.map(({ cause, priority }) => `${priority} ${cause}`) ?? [];
  }
}
