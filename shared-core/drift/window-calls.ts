/** What windows say beside the charts: the pattern of the channels, trends towards a limit, trims of the oscillation. */
import { DRIFT_CHANNELS } from '../messages/drift.ts';
import type { WeldWindow } from '../pass/weld-windows.ts';
import { addTrim } from './add-trim.ts';
import { evidenceOf } from './call-evidence.ts';
import type { CallContext, CallList, CallPass, DriftChange } from './call-list.ts';
import type { ChannelCalls } from './channel-calls.ts';
import { insideLimit, limitFor, type Zone } from './drift-zones.ts';
import { looksLike } from './looks-like.ts';
import type { OpenCall } from './open-call.ts';
import { OscillationTrims } from './oscillation-trims.ts';
import { PatternWatch, type PatternWindow } from './pattern-watch.ts';
import { projectedCrossing } from './projection.ts';
import type { RecentSteps } from './recent-steps.ts';
import type { Targets } from './targets.ts';
import { mayBeTrimmed } from './trimmed-types.ts';
import type { WindowRow } from './window-rows.ts';

/** A channel stands out of a pattern when it alone makes this share of T². */
const STANDS_OUT = 0.5;
/** Windows without a crossing ahead that end a projection. */
const CALM_WINDOWS = 3;

interface Projection {
  readonly call: OpenCall;
  calm: number;
}

export class WindowCalls {
  private readonly pass: CallPass;
  private readonly zones: readonly Zone[];
  private readonly targets: readonly Targets[];
  private readonly recent: RecentSteps;
  private readonly list: CallList;
  private readonly channels: ChannelCalls;
  private readonly pattern: PatternWatch;
  private readonly oscillation = new OscillationTrims();
  private readonly projections = new Map<number, Projection>();
  private patternCall: OpenCall | null = null;
  private before: WindowRow | null = null;

  constructor(
    pass: CallPass,
    zones: readonly Zone[],
    targets: readonly Targets[],
    recent: RecentSteps,
    list: CallList,
    channels: ChannelCalls,
  ) {
    this.pass = pass;
    this.zones = zones;
    this.targets = targets;
    this.recent = recent;
    this.list = list;
    this.channels = channels;
    this.pattern = new PatternWatch(pass.settings);
  }

  window(
    window: WeldWindow,
    off: Float64Array,
    rows: readonly WindowRow[],
    context: CallContext,
  ): DriftChange[] {
    const row = rows.at(-1)!;
    const changes = [...this.followPattern(row, window, off, context), ...this.followTrends(rows, context)];
    if (mayBeTrimmed(this.pass.passType)) changes.push(...this.followOscillation(window, row.zone, context));
    this.before = row;
    return changes;
  }

  /** A drifting call is over: so is what was projected from it. */
  driftingEnded(call: OpenCall): DriftChange[] {
    const channel = DRIFT_CHANNELS.indexOf(call.quantity as (typeof DRIFT_CHANNELS)[number]);
    const projection = this.projections.get(channel);
    this.projections.delete(channel);
    return projection ? [this.list.end(projection.call, { fromMm: call.toMm!, fromUs: call.toUs! })] : [];
  }

  private followPattern(
    row: WindowRow,
    window: WeldWindow,
    off: Float64Array,
    context: CallContext,
  ): DriftChange[] {
    const targets = this.targets[row.zone]!;
    const { watches } = this.channels;
    const offsets = watches.map(watch => watch.offset);
    const found = this.pattern.window(off, offsets, targets, row.zone);
    if (!found) return [];
    for (const call of this.channels.holding.values()) call.contributions = found.contributions;
    const open = this.patternCall;
    const change = this.pattern.follow(found, open !== null);
    if (open && change === 'ends') {
      this.patternCall = null;
      return [this.list.end(open, { fromMm: window.fromMm, fromUs: window.fromUs })];
    }
    // A channel that drifts alone makes a pattern too, and has been called already.
    if (change !== 'begins' || this.channels.holding.size > 0) return [];
    if (this.channels.trimPending && found.contributions[0]!.quantity === 'travelSpeed') return [];
    const call = this.list.add(this.patternOf(found, targets, window), context);
    call.looksLike = looksLike(
      evidenceOf(call, {
        pass: this.pass,
        targets,
        watches,
        recent: this.recent,
        firstMm: this.before?.fromMm ?? call.fromMm,
        context,
      }),
    );
    this.patternCall = call;
    return [{ kind: 'began', call }];
  }

  private patternOf(found: PatternWindow, targets: Targets, window: WeldWindow) {
    const most = found.contributions[0]!;
    const alone = most.amount >= STANDS_OUT * found.tSquared;
    const channel = DRIFT_CHANNELS.indexOf(most.quantity);
    const offset = this.channels.watches[channel]!.offset;
    const { before } = this;
    const from = before ? { fromMm: before.fromMm, fromUs: before.fromUs } : window;
    return {
      rule: 'pattern' as const,
      quantity: alone ? most.quantity : null,
      against: 'itself' as const,
      baseline: alone ? targets.mean[channel]! + offset : null,
      direction: alone ? (most.deviations < 0 ? ('low' as const) : ('high' as const)) : null,
      shape: null,
      from,
      change: alone ? most.deviations * targets.sigma[channel]! : null,
      changeSigma: alone ? most.deviations : null,
      contributions: found.contributions,
    };
  }

  private followTrends(rows: readonly WindowRow[], context: CallContext): DriftChange[] {
    const { passEndMm } = this.pass;
    if (passEndMm === null) return [];
    const { zone } = rows.at(-1)!;
    const changes: DriftChange[] = [];
    for (const [channel, drifting] of this.channels.holding) {
      const quantity = DRIFT_CHANNELS[channel]!;
      const limit = limitFor(this.pass.limits, quantity, this.zones[zone]!);
      const points = rows
        .filter(
          row => row.zone === zone && row.fromMm >= drifting.fromMm && !Number.isNaN(row.values[channel]!),
        )
        .map(row => ({ mm: (row.fromMm + row.toMm) / 2, value: row.values[channel]! }));
      const noise = trendNoise(this.targets[zone]!, channel);
      const crossing = limit && projectedCrossing(points, limit, context.alongMm, passEndMm, noise);
      const last = rows.at(-1)!;
      const projection = this.projections.get(channel);
      if (crossing) {
        const atUs = context.tUs + this.timeTo(crossing.atMm - context.alongMm, rows);
        const ahead = { ...crossing, atUs };
        if (projection) {
          projection.calm = 0;
          projection.call.crossing = ahead;
          projection.call.change = drifting.change;
          projection.call.changeSigma = drifting.changeSigma;
          projection.call.now = drifting.now;
          projection.call.nowSigma = drifting.nowSigma;
          projection.call.looksLike = drifting.looksLike;
          continue;
        }
        const { against, baseline, direction, fromMm, fromUs, change, changeSigma, contributions } = drifting;
        const call = this.list.add(
          {
            rule: 'projected',
            quantity,
            against,
            baseline,
            direction,
            shape: 'ramp',
            from: { fromMm, fromUs },
            change,
            changeSigma,
            contributions,
            crossing: ahead,
            looksLike: drifting.looksLike,
          },
          context,
        );
        this.projections.set(channel, { call, calm: 0 });
        changes.push({ kind: 'began', call });
      } else if (projection && ++projection.calm >= CALM_WINDOWS) {
        this.projections.delete(channel);
        changes.push(this.list.end(projection.call, { fromMm: last.fromMm, fromUs: last.fromUs }));
      }
    }
    return changes;
  }

  /** µs that so much weld takes at the speed of the newest window. */
  private timeTo(mm: number, rows: readonly WindowRow[]): number {
    const { fromMm, toMm, fromUs, toUs } = rows.at(-1)!;
    return Math.round((mm * (toUs - fromUs)) / (toMm - fromMm));
  }

  private followOscillation(window: WeldWindow, zone: number, context: CallContext): DriftChange[] {
    return this.oscillation.window(window).flatMap(({ quantity, before, after, ...from }) => {
      if (!insideLimit(limitFor(this.pass.limits, quantity, this.zones[zone]!), after)) return [];
      const trim = { quantity, from, was: before, is: after, sigma: null, depositChangePercent: null };
      return [addTrim(this.list, trim, context)];
    });
  }
}

/** What good windows scatter by about a trend; 0: not known, the procedure gives a tolerance only. */
function trendNoise({ baseline, windowVariance }: Targets, channel: number): number {
  return baseline.source === 'rig' ? Math.sqrt(windowVariance[channel]!) : 0;
}
