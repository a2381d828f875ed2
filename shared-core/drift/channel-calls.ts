/** Channel by channel: charts become calls that begin and end, or trims. */
import { DRIFT_CHANNELS } from '../messages/drift.ts';
import { addTrim } from './add-trim.ts';
import { evidenceOf } from './call-evidence.ts';
import type { CallContext, CallList, CallPass, DriftChange } from './call-list.ts';
import { type ChangeShape, changeShape, jumpOf } from './change-shape.ts';
import { ChannelWatch } from './channel-watch.ts';
import { CHANNEL_COUNT } from './drift-values.ts';
import { insideLimit, limitFor, type Zone } from './drift-zones.ts';
import { looksLike } from './looks-like.ts';
import type { OpenCall } from './open-call.ts';
import type { RecentSteps, Step } from './recent-steps.ts';
import type { Targets } from './targets.ts';
import { mayBeTrimmed } from './trimmed-types.ts';
import type { WeldSignal } from './weld-cusum.ts';
import type { MeantChange } from './window-rows.ts';

const TRAVEL = DRIFT_CHANNELS.indexOf('travelSpeed');
const FEED = DRIFT_CHANNELS.indexOf('wireFeedSpeed');
/** Weld seen after the onset before a change of travel is taken for a trim, mm. */
const TRIM_AFTER_MM = 25;
/** Weld seen after a change of travel showed before it is taken for something that goes on: at first a step looks like it, mm. */
const NO_TRIM_AFTER_MM = 40;
/** The shape is looked at again until this long after the call, mm. */
const SHAPE_UNTIL_MM = 100;
/** What a trim is compared with before it, and how much weld says where a ramp stands now, mm. */
const BEFORE_MM = 100;
const NOW_MM = 25;
const TO_NOW = Number.POSITIVE_INFINITY;
/** A step whose level has come back further than this says no more of its size. */
const STILL_THERE = 0.5;

export class ChannelCalls {
  readonly watches: readonly ChannelWatch[];
  /** Calls that hold, by channel. */
  readonly holding = new Map<number, OpenCall>();
  readonly meant: MeantChange[] = [];
  /** Travel has changed and may have been trimmed: where that was seen, mm; the next weld tells. */
  private pendingFromMm: number | null = null;
  private readonly pass: CallPass;
  private readonly zones: readonly Zone[];
  private readonly targets: readonly Targets[];
  private readonly recent: RecentSteps;
  private readonly list: CallList;
  private firstMm: number | null = null;

  constructor(
    pass: CallPass,
    zones: readonly Zone[],
    targets: readonly Targets[],
    recent: RecentSteps,
    list: CallList,
  ) {
    this.pass = pass;
    this.zones = zones;
    this.targets = targets;
    this.recent = recent;
    this.list = list;
    this.watches = Array.from(
      { length: CHANNEL_COUNT },
      (_, channel) => new ChannelWatch(pass.settings, channel, pass.windowLengthMm),
    );
  }

  get trimPending(): boolean {
    return this.pendingFromMm !== null;
  }

  step(step: Step, zone: number, context: CallContext): DriftChange[] {
    this.firstMm ??= step.fromMm;
    const changes: DriftChange[] = [];
    const targets = this.targets[zone]!;
    for (let channel = 0; channel < CHANNEL_COUNT; channel++) {
      const off = step.off[channel]!;
      if (Number.isNaN(off)) continue;
      const watch = this.watches[channel]!;
      const call = this.holding.get(channel);
      if (call) {
        const over = watch.ended(off, targets, step);
        if (!over) continue;
        this.holding.delete(channel);
        watch.quiet();
        changes.push(this.list.end(call, over));
      } else {
        const signal = watch.began(off, targets, step);
        if (channel === TRAVEL && !signal) this.pendingFromMm = null;
        if (signal) changes.push(...this.signalled(channel, zone, signal, step, context));
        else changes.push(...this.level(channel, zone, step, context));
      }
    }
    return changes;
  }

  /** A window with its distances from the targets: levels, and the calls that hold as they now look. */
  window(off: Float64Array, zone: number, context: CallContext): void {
    const targets = this.targets[zone]!;
    this.watches.forEach((watch, channel) => {
      if (!Number.isNaN(off[channel]!)) watch.window(off[channel]!, targets);
    });
    for (const [channel, call] of this.holding) this.update(channel, zone, call, context);
  }

  private signalled(
    channel: number,
    zone: number,
    signal: WeldSignal,
    step: Step,
    context: CallContext,
  ): DriftChange[] {
    const trimmable = channel === TRAVEL && mayBeTrimmed(this.pass.passType);
    const watch = this.watches[channel]!;
    const { mean, sigma, baseline } = this.targets[zone]!;
    const target = mean[channel]! + watch.offset;
    const found = this.shapeOf(channel, signal, sigma[channel]!);
    const jump =
      trimmable && found.shape === 'ramp' ? jumpOf(this.recent.steps, channel, watch.offset) : null;
    const shape = jump !== null && Math.sign(jump.size) === Math.sign(found.size) ? jump : found;
    const level = target + shape.size;
    if (trimmable) {
      this.pendingFromMm ??= step.toMm;
      const sure =
        shape.shape === 'step'
          ? step.toMm - shape.fromMm >= TRIM_AFTER_MM
          : step.toMm - this.pendingFromMm >= NO_TRIM_AFTER_MM;
      if (!sure) return [];
      this.pendingFromMm = null;
    }
    if (trimmable && shape.shape === 'step' && this.insideLimits(channel, zone, level)) {
      const change = this.trim(channel, shape, target, sigma[channel]!, context);
      watch.retarget(level - mean[channel]!, step.toMm - shape.fromMm);
      return [change];
    }
    watch.follow(shape.size / sigma[channel]!);
    const against = baseline.source === 'rig' ? 'itself' : 'procedure';
    return [this.begin(channel, zone, { shape, against, target }, context)];
  }

  /** The pass as a whole runs elsewhere than good passes do. */
  private level(channel: number, zone: number, step: Step, context: CallContext): DriftChange[] {
    const watch = this.watches[channel]!;
    const { mean, sigma } = this.targets[zone]!;
    const off = watch.unlike(this.targets[zone]!);
    if (off === null) return [];
    const first = this.recent.steps[0]!;
    const shape: ChangeShape = { shape: 'step', fromMm: first.fromMm, fromUs: first.fromUs, size: off };
    const target = mean[channel]!;
    if (
      channel === TRAVEL &&
      mayBeTrimmed(this.pass.passType) &&
      this.insideLimits(channel, zone, target + off)
    ) {
      const change = this.trim(channel, shape, target, sigma[channel]!, context);
      watch.retarget(off, step.toMm - first.fromMm);
      return [change];
    }
    watch.followFromMean(off / sigma[channel]!);
    return [this.begin(channel, zone, { shape, against: 'rig', target }, context)];
  }

  private begin(
    channel: number,
    zone: number,
    found: { shape: ChangeShape; against: OpenCall['against']; target: number },
    context: CallContext,
  ): DriftChange {
    const { shape, against, target } = found;
    const call = this.list.add(
      {
        rule: 'drifting',
        quantity: DRIFT_CHANNELS[channel]!,
        against,
        baseline: target,
        direction: shape.size < 0 ? 'low' : 'high',
        shape: shape.shape,
        from: shape,
        change: shape.size,
        changeSigma: shape.size / this.targets[zone]!.sigma[channel]!,
      },
      context,
    );
    this.holding.set(channel, call);
    this.weigh(call, zone, context);
    return { kind: 'began', call };
  }

  private insideLimits(channel: number, zone: number, level: number): boolean {
    return insideLimit(limitFor(this.pass.limits, DRIFT_CHANNELS[channel]!, this.zones[zone]!), level);
  }

  private shapeOf(channel: number, signal: WeldSignal, sigma: number): ChangeShape {
    const found = changeShape(this.recent.steps, channel, signal.fromMm, this.watches[channel]!.offset);
    if (found && Math.sign(found.size) === Math.sign(signal.shift)) return found;
    return { shape: 'step', fromMm: signal.fromMm, fromUs: signal.fromUs, size: signal.shift * sigma };
  }

  private update(channel: number, zone: number, call: OpenCall, context: CallContext): void {
    const { mean, sigma } = this.targets[zone]!;
    const watch = this.watches[channel]!;
    const target = mean[channel]! + watch.offset;
    if (Number.isNaN(target)) return;
    if (call.against !== 'rig' && context.alongMm - call.calledMm <= SHAPE_UNTIL_MM) {
      const found = changeShape(this.recent.steps, channel, call.fromMm, watch.offset);
      if (found && Math.sign(found.size) === (call.direction === 'low' ? -1 : 1)) {
        call.shape = found.shape;
        call.fromMm = found.fromMm;
        call.fromUs = found.fromUs;
      }
    }
    const sinceMm = call.shape === 'ramp' ? context.alongMm - NOW_MM : call.fromMm;
    const level = this.recent.meanBetween(channel, sinceMm, TO_NOW);
    call.nowSigma = watch.level;
    call.now = watch.level * sigma[channel]!;
    // A change that is on its way back is told as large as it was.
    if (level === null || !stillGoes(call, level - target)) return;
    call.change = level - target;
    call.changeSigma = call.change / sigma[channel]!;
    watch.resize(call.changeSigma);
    this.weigh(call, zone, context);
  }

  private weigh(call: OpenCall, zone: number, context: CallContext): void {
    call.looksLike = looksLike(
      evidenceOf(call, {
        pass: this.pass,
        targets: this.targets[zone]!,
        watches: this.watches,
        recent: this.recent,
        firstMm: this.firstMm ?? call.fromMm,
        context,
      }),
    );
  }

  private trim(
    channel: number,
    shape: ChangeShape,
    target: number,
    sigma: number,
    context: CallContext,
  ): DriftChange {
    const { fromMm } = shape;
    const before = (of: number) => this.recent.meanBetween(of, fromMm - BEFORE_MM, fromMm);
    const after = (of: number) => this.recent.meanBetween(of, fromMm, TO_NOW);
    const was = before(channel) ?? target;
    const is = after(channel) ?? target + shape.size;
    const feedWas = before(FEED);
    const feedIs = after(FEED);
    const fed = feedWas !== null && feedIs !== null && feedWas > 0 ? feedIs / feedWas : null;
    this.meant.push({ channel, fromMm, change: is - was });
    return addTrim(
      this.list,
      {
        quantity: DRIFT_CHANNELS[channel]!,
        from: shape,
        was,
        is,
        sigma,
        // Area of metal laid down: wire fed per length of weld.
        depositChangePercent: fed !== null && is > 0 ? 100 * ((fed * was) / is - 1) : null,
      },
      context,
    );
  }
}

/** A ramp counts while it grows, a step while most of it is still there. */
function stillGoes(call: OpenCall, change: number): boolean {
  const sign = call.direction === 'low' ? -1 : 1;
  const known = sign * (call.change ?? 0);
  if (call.shape === 'ramp') return sign * change > known;
  return sign * (call.now ?? change) >= STILL_THERE * known;
}
