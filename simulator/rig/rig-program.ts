import type { Fault } from '../faults/fault.ts';
import { randomStream } from '../random/random-streams.ts';
import { FrameMaker } from './frame-maker.ts';
import type { PlannedPass } from './planned-pass.ts';
import type { RigFrame } from './rig-frame.ts';
import { RigModel, type Tick } from './rig-model.ts';
import type { RigSettings } from './rig-settings.ts';
import type { SetPoint } from './set-point.ts';

/** What happens on the simulated floor, for whoever prepares the record of it. */
export type ProgramEvent =
  | { readonly event: 'passAhead'; readonly atS: number; readonly pass: PlannedPass }
  | {
      readonly event: 'passDone';
      readonly atS: number;
      readonly pass: PlannedPass;
      readonly truth: PassTruth;
    }
  | { readonly event: 'programEnded'; readonly atS: number };

/** What truly was welded, for comparison with what the record says. */
export interface PassTruth {
  readonly arcTimeS: number;
  readonly lengthMm: number;
  readonly energyKj: number;
  readonly wireMm: number;
}

export interface RigProgramOptions {
  readonly settings: RigSettings;
  readonly seed: number;
  readonly setPoints: readonly SetPoint[];
  readonly passes: Iterator<PlannedPass>;
  readonly announceAheadS: number;
  /** Length of one frame, ms; a whole number. */
  readonly frameMs: number;
}

/** Where a rig is in its work. */
export interface RigPlace {
  readonly joint: string;
  readonly pass: string;
  /** Truly travelled from the pass's own start, mm. */
  readonly alongMm: number;
}

/** A rig at work: welds its planned passes one after the other and hands out frames and events. */
export class RigProgram {
  private readonly options: RigProgramOptions;
  private readonly model: RigModel;
  private readonly frames: FrameMaker;
  private elapsedMs = 0;
  private next: PlannedPass | null;
  private running: PlannedPass | null = null;
  private announced = false;
  private readyAtS = 0;
  private over = false;
  private lastJoint: string | null = null;
  private truth = { arcTimeS: 0, energyKj: 0, wireMm: 0 };
  private events: ProgramEvent[] = [];

  constructor(options: RigProgramOptions) {
    this.options = options;
    const { settings, seed, setPoints } = options;
    this.model = new RigModel(settings, seed, new Map(setPoints.map(point => [point.name, point])));
    this.frames = new FrameMaker(this.model, randomStream(seed, settings.id, 'readings'));
    this.next = this.pull();
  }

  /** True when every planned pass is welded and the last gas has flowed. */
  get ended(): boolean {
    return this.over;
  }

  /** Simulated time at the end of the next frame, µs. */
  get nextEndUs(): number {
    return (this.elapsedMs + this.options.frameMs) * 1000;
  }

  /** The pass that runs, and where; null between passes. */
  get place(): RigPlace | null {
    const { running } = this;
    if (running === null) return null;
    return { joint: running.joint, pass: running.setPoint.name, alongMm: this.model.runOutMm };
  }

  /** The pass that is welded after this one, or first. */
  get nextPass(): PlannedPass | null {
    return this.next;
  }

  /** Something more goes wrong with the pass that runs. */
  inject(fault: Fault): void {
    this.model.inject(fault);
  }

  /** The arc goes out where it is, gas flows on, and no further pass is begun. */
  breakOff(): void {
    this.next = null;
    this.announced = false;
    if (this.running === null) this.over = true;
    else this.model.breakOff();
  }

  /** Events since the last call, in order. */
  drainEvents(): ProgramEvent[] {
    const { events } = this;
    this.events = [];
    return events;
  }

  /** The next averaging interval. */
  nextFrame(): RigFrame {
    const startUs = this.elapsedMs * 1000;
    const ticks: Tick[] = [];
    for (let ms = 0; ms < this.options.frameMs; ms++) ticks.push(this.tick());
    return this.frames.frameOf(ticks, startUs);
  }

  private tick(): Tick {
    const nowS = this.elapsedMs / 1000;
    const idle = this.model.phase === 'idle';
    if (this.running && idle) this.finish(nowS);
    const { next } = this;
    let begin = false;
    if (next && this.running === null && idle) {
      const aheadS = this.options.announceAheadS;
      if (!this.announced && nowS >= next.startsAtS - aheadS) {
        this.announced = true;
        // A pass that is late is announced late, and starts no sooner for it.
        this.readyAtS = Math.max(next.startsAtS, nowS + Math.min(aheadS, 1));
        if (this.lastJoint !== next.joint) this.model.newPipe();
        this.lastJoint = next.joint;
        this.model.select(next);
        this.events.push({ event: 'passAhead', atS: nowS, pass: next });
      }
      begin = this.announced && nowS >= this.readyAtS;
    }
    const tick = this.model.tick(begin);
    if (begin) {
      this.running = next;
      this.next = this.pull();
      this.announced = false;
      this.truth = { arcTimeS: 0, energyKj: 0, wireMm: 0 };
    }
    this.add(tick);
    this.elapsedMs++;
    return tick;
  }

  private finish(nowS: number): void {
    const pass = this.running!;
    this.running = null;
    const lengthMm = this.model.runOutMm;
    this.events.push({ event: 'passDone', atS: nowS, pass, truth: { ...this.truth, lengthMm } });
    if (this.next === null) {
      this.over = true;
      this.events.push({ event: 'programEnded', atS: nowS });
    }
  }

  private add(tick: Tick): void {
    const { truth } = this;
    if (tick.currentA > 0) truth.arcTimeS += 0.001;
    truth.energyKj += tick.powerW * 1e-6;
    truth.wireMm += tick.feedMmS * 0.001;
  }

  private pull(): PlannedPass | null {
    const item = this.options.passes.next();
    return item.done ? null : item.value;
  }
}
