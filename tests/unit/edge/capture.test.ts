import { beforeEach, describe, expect, it } from 'vitest';
import { type Alarms, alarmsSchema } from '#core/messages/alarms';
import { type Live, liveSchema } from '#core/messages/live';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import type { ProcedurePass } from '#core/procedure/procedure';
import type { SampleChunk } from '#core/sample/chunk';
import { Capture } from '../../../edge/capture/capture.ts';
import { Recorder, type RecordingState } from '../../../edge/capture/recorder.ts';
import { Stamper } from '../../../edge/capture/stamper.ts';
import { WorkDesk } from '../../../edge/capture/work-desk.ts';
import { createRecordClock } from '../../../edge/clock/record-clock.ts';
import type { InternalEvents } from '../../../edge/internal-events.ts';

const T0 = Date.UTC(2026, 5, 1);
const quiet: InternalEvents = { emit: () => undefined, counters: () => ({}) };

class Bench {
  ms = 0;
  waiting = 0;
  stuckMs = 0;
  readonly lives: Live[] = [];
  readonly alarms: Alarms[] = [];
  readonly eventTypes: string[] = [];
  readonly eventTexts: string[] = [];
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

let bench: Bench;
beforeEach(() => {
  bench = new Bench();
});

describe('what the edge tells', () => {
  it('shows the arc and its values while samples come', () => {
    bench.weld(3, 180);
    const live = bench.lives.at(-1)!;
    expect(live.arc).toBe('on');
    expect(live.values.weldingCurrent).toBeCloseTo(183, 0);
    expect(live.pass?.arcTimeS).toBeGreaterThan(2.5);
    expect(bench.causes).toEqual([]);
    expect(bench.eventTypes).toContain('arcStart');
  });

  it('never shows a last value as live: after 2 s without a sample everything is unknown', () => {
    bench.weld(3, 180);
    bench.wait(1.9);
    expect(bench.lives.at(-1)!.values.weldingCurrent).not.toBeNull();
    bench.wait(0.3);
    const live = bench.lives.at(-1)!;
    expect(live.arc).toBe('noData');
    expect(Object.values(live.values).every(value => value === null)).toBe(true);
    expect(live.outOfRange).toEqual([]);
  });

  it('arc on and no data for more than 2 s is a HIGH alarm until data comes again', () => {
    bench.weld(3, 180);
    bench.state('stalled');
    bench.wait(1.9);
    expect(bench.causes).toEqual([]);
    bench.wait(0.3);
    expect(bench.causes).toEqual(['high noDataWithArc']);
    const count = bench.alarms.length;
    bench.wait(20);
    // The same alarm is not told over and over.
    expect(bench.alarms).toHaveLength(count);
    bench.state('streaming');
    bench.weld(1, 180);
    expect(bench.causes).toEqual([]);
  });

  it('says since when there is no data, however often the line is opened again', () => {
    bench.weld(3, 180);
    const lastSample = bench.lives.at(-1)!.at;
    bench.state('stalled');
    bench.wait(3);
    bench.state('opening');
    bench.wait(1);
    bench.state('stalled');
    bench.wait(3);
    const { source, at } = bench.lives.at(-1)!;
    expect(Date.parse(source.since)).toBeCloseTo(Date.parse(lastSample), -3);
    expect(Date.parse(at) - Date.parse(source.since)).toBeGreaterThanOrEqual(7000);
    bench.state('streaming');
    bench.weld(0.1, 180);
    expect(Date.parse(bench.lives.at(-1)!.source.since)).toBeGreaterThanOrEqual(Date.parse(at));
  });

  it('tells no earlier record time when a device that runs ahead falls silent', () => {
    // As in the benchmark of an hour at ten times the speed: after ten seconds a device is ninety ahead.
    bench.ahead(90);
    bench.weld(3, 180);
    bench.state('stalled');
    bench.wait(30);
    bench.state('streaming');
    bench.weld(3, 180);
    const times = bench.lives.map(({ tUs }) => tUs);
    for (let i = 1; i < times.length; i++) expect(times[i]).toBeGreaterThanOrEqual(times[i - 1]!);
  });

  it('shows data again at once when record time goes on sooner than the silence lasted', () => {
    bench.weld(3, 180);
    bench.wait(60);
    expect(bench.lives.at(-1)!.arc).toBe('noData');
    // Of a device that runs ahead a gap is up to a tenth shorter in record time.
    bench.ahead(-6);
    bench.weld(1, 180);
    expect(bench.lives.at(-1)!.arc).toBe('on');
    expect(bench.lives.at(-1)!.values.weldingCurrent).not.toBeNull();
  });

  it('says by how much a device runs ahead, on record', () => {
    bench.capture.onAhead(4_002_000, T0 * 1000);
    expect(bench.eventTexts.at(-1)).toBe(
      'the time of the device runs too fast: its samples are dated 4 s later than they were measured',
    );
  });

  it('no data with the arc out is no alarm: a rig that rests may be switched off', () => {
    bench.weld(3, 180);
    bench.weld(3, 0);
    bench.wait(10);
    expect(bench.causes).toEqual([]);
  });

  it('readings that stand still with current are a HIGH alarm as well', () => {
    bench.weld(3, 180);
    bench.weld(4, 180, false);
    expect(bench.lives.at(-1)!.arc).toBe('noData');
    expect(bench.causes).toEqual(['high noDataWithArc']);
  });

  it('recording failed is HIGH, a slow store MEDIUM, a link that stands LOW', () => {
    bench.recording = 'failed';
    bench.waiting = 30;
    bench.stuckMs = 10_001;
    bench.wait(0.1);
    expect(bench.causes).toEqual(['high recordingFailed', 'low buffering']);
    for (const { text, action } of bench.alarms.at(-1)!.conditions) {
      expect(text).toMatch(/\.$/);
      expect(action).toMatch(/\.$/);
    }
    bench.recording = 'lagging';
    bench.stuckMs = 9000;
    bench.wait(0.1);
    expect(bench.causes).toEqual(['medium storage']);
  });

  it('a pass that looks like another is a MEDIUM alarm with the likelier pass, while the arc burns', () => {
    const pass = (name: string, feedMmS: number, travelMmS: number): ProcedurePass => ({
      name,
      type: name,
      limits: [
        { quantity: 'wireFeedSpeed', unit: 'mm/s', basis: 'window', nominal: feedMmS, tolerancePercent: 7 },
        { quantity: 'travelSpeed', unit: 'mm/s', basis: 'window', nominal: travelMmS, tolerancePercent: 8 },
      ],
    });
    bench.capture.procedure({
      schema: 'girthlog.procedure/1',
      id: 'example',
      revision: 1,
      title: 'Example',
      exampleOnly: true,
      passes: [pass('fill', 160, 6), pass('cap', 100, 8)],
    });
    const at = new Date(T0).toISOString();
    const place = { joint: 'J-7', side: 'B' as const, pass: 'fill', outsideDiameterMm: 610, startDegrees: 0 };
    const work = { ...place, procedureId: 'example', procedureRevision: 1 };
    bench.capture.assignment({ origin: 'simulated', id: 'a1', at, author: 'p1', work });
    bench.weld(3, 180);
    expect(bench.lives.at(-1)!.passMismatch).toBeNull();
    bench.weld(2, 180);
    expect(bench.lives.at(-1)!.passMismatch).toMatchObject({ assigned: 'fill', likelier: ['cap'] });
    expect(bench.eventTypes.filter(type => type === 'passMismatch')).toHaveLength(1);
    const conditions = bench.alarms.at(-1)!.conditions.filter(({ cause }) => cause === 'passMismatch');
    expect(conditions).toMatchObject([
      {
        priority: 'medium',
        key: 'B:fill:passMismatch',
        text: 'Looks like cap, not fill: feed 6.0 m/min, travel 8.0 mm/s (joint J-7, side B, fill).',
      },
    ]);
    bench.wait(3);
    expect(bench.lives.at(-1)!.passMismatch).toBeNull();
    bench.weld(2, 0);
    expect(bench.causes).not.toContain('medium passMismatch');
  });

  it('stops recording what the source sends once it is halted', () => {
    bench.capture.halt();
    bench.weld(1, 180);
    expect(bench.lives.at(-1)!.arc).toBe('noData');
  });
});
