/**
 * One channel along a pass: quiet until the chart signals, then changed until the same chart, turned round, says that
 * the level is nearer the target than the change; or moved to a new target by a trim.
 */
import type { DriftSettings } from '../messages/drift.ts';
import { fQuantile } from '../statistics/distributions.ts';
import { OwnLevel } from './own-level.ts';
import type { Targets } from './targets.ts';
import { cappedZ, WeldCusum, type WeldSignal, WeldSum } from './weld-cusum.ts';

/** Share of good passes whose level is called unlike the others at one look (our own choice). */
const LEVEL_SHARE = 0.0002;

/** The first look at the level is after so much weld, mm: what is far off shows at once. */
const LEVEL_FROM_MM = 10;

/** A piece of weld. */
export interface Piece {
  readonly fromMm: number;
  readonly toMm: number;
  readonly fromUs: number;
}

export class ChannelWatch {
  /** Where the level stands now: EWMA of the windows' z. */
  level = 0;
  private readonly settings: DriftSettings;
  private readonly channel: number;
  private readonly windowMm: number;
  private readonly chart: WeldCusum;
  private readonly own = new OwnLevel();
  /** While changed: evidence that the change is over. */
  private back: WeldSum | null = null;
  private turned = 1;
  /** Half of the change: what the level must fall below, z. */
  private half = 0;
  /** The level has been called, or set: it is not looked at again. */
  private levelTold = false;
  private levelLimit = Number.NaN;

  constructor(settings: DriftSettings, channel: number, windowMm: number) {
    this.settings = settings;
    this.channel = channel;
    this.windowMm = windowMm;
    this.chart = new WeldCusum(settings);
  }

  /** Distance of the target from the mean of good passes: the pass's own level. In the channel's unit. */
  get offset(): number {
    return this.own.offset;
  }

  get changed(): boolean {
    return this.back !== null;
  }

  /** `off`: distance from the mean of good passes, of a piece of weld. Whether a change has begun; only while there is none. */
  began(off: number, targets: Targets, piece: Piece): WeldSignal | null {
    const mm = piece.toMm - piece.fromMm;
    const sigma = targets.sigma[this.channel]!;
    const passSigma = targets.passSigma[this.channel]!;
    let signal: WeldSignal | null = null;
    if (this.own.known) {
      signal = this.chart.add((off - this.offset) / sigma, mm / this.windowMm, piece.fromMm, piece.fromUs);
    }
    // A rig whose passes never differ is known beforehand.
    const priorMm =
      (this.windowMm * targets.windowVariance[this.channel]!) / Math.max(passSigma ** 2, (sigma / 100) ** 2);
    this.own.add(off, mm, priorMm, this.chart.most > this.settings.h / 2);
    return signal;
  }

  /** How far the level of the whole pass lies from good passes, where that is further than they differ; once. */
  unlike(targets: Targets): number | null {
    const { baseline } = targets;
    const { seenMm, plain } = this.own;
    if (this.levelTold || baseline.source !== 'rig' || seenMm < LEVEL_FROM_MM) return null;
    if (Number.isNaN(this.levelLimit)) {
      this.levelLimit = fQuantile(1 - LEVEL_SHARE, 1, baseline.passes - 1);
    }
    const sigma = targets.sigma[this.channel]!;
    const windows = seenMm / this.windowMm;
    const passes = targets.passSigma[this.channel]! ** 2 * (1 + 1 / baseline.passes);
    const variance = Math.max(passes + targets.windowVariance[this.channel]! / windows, (sigma * sigma) / 4);
    if (plain * plain <= this.levelLimit * variance) return null;
    this.levelTold = true;
    return plain;
  }

  /** While changed: since where it has been over, once that is sure. */
  ended(off: number, targets: Targets, piece: Piece): Pick<Piece, 'fromMm' | 'fromUs'> | null {
    const { back } = this;
    if (!back) return null;
    const windows = (piece.toMm - piece.fromMm) / this.windowMm;
    const nearer = this.half - (this.turned * (off - this.offset)) / targets.sigma[this.channel]!;
    back.add(cappedZ(nearer, this.settings) * windows, windows, piece.fromMm, piece.fromUs);
    return back.sum > this.settings.h ? { fromMm: back.fromMm, fromUs: back.fromUs } : null;
  }

  /** A change of mean `shift` (z, signed) is followed from here. */
  follow(shift: number): void {
    this.turned = shift < 0 ? -1 : 1;
    this.resize(shift);
    this.back = new WeldSum();
    this.own.forget();
  }

  /** The change is that the pass is unlike good passes: it is held against their mean. */
  followFromMean(shift: number): void {
    this.own.set(0, 0);
    this.follow(shift);
  }

  /** It has grown or shrunk since. */
  resize(shift: number): void {
    this.half = Math.max(this.settings.k, (this.turned * shift) / 2);
  }

  quiet(): void {
    this.back = null;
    this.chart.reset();
  }

  /** The level is meant: it is the target from here on. Seen over `mm` so far. */
  retarget(offset: number, mm: number): void {
    this.quiet();
    this.levelTold = true;
    this.own.set(offset, mm);
  }

  window(off: number, targets: Targets): void {
    const { lambda } = this.settings;
    const z = (off - this.offset) / targets.sigma[this.channel]!;
    this.level = lambda * z + (1 - lambda) * this.level;
  }
}
