/**
 * Follows one pass along its weld and says what changed (docs/drift.md): steps of about 5 mm feed the charts, windows
 * of about 25 mm the pattern, the trend and what is learned. Pure; told by the pass in time order.
 *
 * A step is judged once the next is complete: the last bit before a stop never is.
 */
import type { Slice } from '../arc/slice.ts';
import type { DriftBaseline, PassDrift } from '../messages/drift.ts';
import { type WeldWindow, WeldWindows } from '../pass/weld-windows.ts';
import { type CallContext, CallList, type CallPass, type DriftChange } from './call-list.ts';
import { ChannelCalls } from './channel-calls.ts';
import { driftRecord, type RecordContext } from './drift-record.ts';
import { CHANNEL_COUNT, driftValues, FIRST_SPREAD } from './drift-values.ts';
import { driftZones, type Zone, zoneAt } from './drift-zones.ts';
import { RecentSteps, type Step } from './recent-steps.ts';
import { distance, type Targets, targetsOf } from './targets.ts';
import { WindowCalls } from './window-calls.ts';
import type { WindowRow } from './window-rows.ts';

/** Whole oscillation cycles nearest this, mm. */
const STEP_MM = 5;
/** A start settles in this time, s. */
const START_S = 2;

export interface DriftPass extends CallPass {
  /** One per zone of the limits, in the order of driftZones. */
  readonly baselines: readonly DriftBaseline[];
  readonly travelRatio: number;
  /** Why nothing at all is judged; null: it is. */
  readonly notJudged: string | null;
}

export class DriftWatch {
  readonly pass: DriftPass;
  readonly zones: readonly Zone[];
  readonly calls = new CallList();
  readonly channels: ChannelCalls;
  readonly rows: WindowRow[] = [];
  /** Weld that was not judged: gaps, held values, drop-outs. */
  lostMm = 0;
  private readonly targets: readonly Targets[];
  private readonly windowCalls: WindowCalls;
  private readonly recent = new RecentSteps();
  private readonly stepper = new WeldWindows(STEP_MM);
  private readonly ready: WeldWindow[] = [];
  private waiting: WeldWindow | null = null;
  private readyUs: number;
  private windowsSeen = 0;
  private lastWindowEndMm = Number.NaN;
  /** Variances of the steps since the last window, by time. */
  private readonly spread = { s: 0, current: 0, voltage: 0 };

  constructor(pass: DriftPass, startUs: number) {
    this.pass = pass;
    this.targets = pass.baselines.map(targetsOf);
    this.zones = driftZones(pass.limits);
    const { targets, zones, recent, calls } = this;
    this.channels = new ChannelCalls(pass, zones, targets, recent, calls);
    this.windowCalls = new WindowCalls(pass, zones, targets, recent, calls, this.channels);
    this.readyUs = startUs + START_S * 1e6;
  }

  /** A slice of burning, moving arc. */
  burn(slice: Slice, weldMm: number, alongMm: number): void {
    if (this.pass.notJudged !== null || slice.fromUs < this.readyUs) return;
    this.stepper.add(slice, weldMm, alongMm);
    const step = this.stepper.closed.pop();
    if (!step) return;
    if (this.waiting) this.ready.push(this.waiting);
    this.waiting = step;
  }

  /** The arc was not on, or nothing was observed: the step in hand is none. */
  disturb(): void {
    this.stepper.discard();
  }

  stop(): void {
    this.stepper.discard();
    this.waiting = null;
    this.ready.length = 0;
  }

  restart(startUs: number): void {
    this.readyUs = startUs + START_S * 1e6;
  }

  /** The next steps or windows are there to be judged. */
  due(windows: readonly WeldWindow[]): boolean {
    if (this.pass.notJudged !== null) return false;
    return this.ready.length > 0 || windows.length > this.windowsSeen;
  }

  /** Judges what is ready; what it changes, in order. */
  judge(windows: readonly WeldWindow[], context: CallContext): DriftChange[] {
    const changes: DriftChange[] = [];
    for (const step of this.ready.splice(0)) changes.push(...this.step(step, context));
    for (; this.windowsSeen < windows.length; this.windowsSeen++) {
      changes.push(...this.window(windows[this.windowsSeen]!, context));
    }
    return changes;
  }

  record(context: RecordContext): PassDrift {
    return driftRecord(this, context);
  }

  private zone(fromMm: number, toMm: number, context: CallContext): number | null {
    if (this.zones.length === 1) return 0;
    const middle = (fromMm + toMm) / 2;
    const zone = zoneAt(this.zones, context.clockAt, middle, context.uncertaintyMm(middle));
    return zone === 'between' ? null : zone;
  }

  private step(window: WeldWindow, context: CallContext): DriftChange[] {
    const values = driftValues(window.sums, this.pass.travelRatio);
    const seconds = (window.toUs - window.fromUs) / 1e6;
    this.spread.s += seconds;
    this.spread.current += values[FIRST_SPREAD]! * seconds;
    this.spread.voltage += values[FIRST_SPREAD + 1]! * seconds;
    for (let channel = FIRST_SPREAD; channel < CHANNEL_COUNT; channel++) {
      values[channel] = Math.sqrt(values[channel]!);
    }
    const zone = this.zone(window.fromMm, window.toMm, context);
    if (zone === null) return [];
    const { mean } = this.targets[zone]!;
    const off = values.map((value, channel) => distance(value, channel, mean[channel]!));
    const step: Step = { ...window, values, off };
    this.recent.add(step);
    const changes = this.channels.step(step, zone, context);
    return changes.flatMap(change =>
      change.kind === 'ended' ? [change, ...this.windowCalls.driftingEnded(change.call)] : [change],
    );
  }

  private window(window: WeldWindow, context: CallContext): DriftChange[] {
    const { spread } = this;
    const { s, current, voltage } = spread;
    spread.s = 0;
    spread.current = 0;
    spread.voltage = 0;
    if (!window.whole) {
      this.lostMm += window.lengthMm;
      return [];
    }
    if (window.fromUs < this.readyUs) return [];
    const zone = this.zone(window.fromMm, window.toMm, context);
    if (zone === null) return [];
    const values = driftValues(window.sums, this.pass.travelRatio);
    values[FIRST_SPREAD] = s > 0 ? Math.sqrt(current / s) : Number.NaN;
    values[FIRST_SPREAD + 1] = s > 0 ? Math.sqrt(voltage / s) : Number.NaN;
    const follows = Math.abs(window.fromMm - this.lastWindowEndMm) < 1e-6;
    this.lastWindowEndMm = window.toMm;
    const { fromMm, toMm, fromUs, toUs } = window;
    this.rows.push({ zone, fromMm, toMm, fromUs, toUs, values, follows });
    const { mean } = this.targets[zone]!;
    const off = values.map((value, channel) => value - mean[channel]!);
    this.channels.window(off, zone, context);
    return this.windowCalls.window(window, off, this.rows, context);
  }
}
