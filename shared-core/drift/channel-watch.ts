/**
 * One channel along a pass: quiet until the chart signals, then changed until the same chart, turned round, says that
 * the level is nearer the target than the change; or moved to a new target by a trim.
 */
import type { DriftSettings } from '../messages/drift.ts';
import { cappedZ, WeldCusum, type WeldSignal, WeldSum } from './weld-cusum.ts';

/** After a trim the new level is learned over this much weld, mm. */
const RETARGET_MM = 200;

/** A piece of weld. */
export interface Piece {
  readonly fromMm: number;
  readonly toMm: number;
  readonly fromUs: number;
}

export class ChannelWatch {
  /** Distance of the target from what good welds have: trims. In the channel's unit. */
  offset = 0;
  /** Where the level stands now: EWMA of the windows' z. */
  level = 0;
  private readonly settings: DriftSettings;
  private readonly chart: WeldCusum;
  /** While changed: evidence that the change is over. */
  private back: WeldSum | null = null;
  private turned = 1;
  /** Half of the change: what the level must fall below, z. */
  private half = 0;
  private learning = false;
  private learnedMm = 0;
  private learnedSum = 0;

  constructor(settings: DriftSettings) {
    this.settings = settings;
    this.chart = new WeldCusum(settings);
  }

  get changed(): boolean {
    return this.back !== null;
  }

  /** `off`: distance from what good welds have, of a piece of weld. Whether a change has begun; only while there is none. */
  began(off: number, sigma: number, windowMm: number, piece: Piece): WeldSignal | null {
    const mm = piece.toMm - piece.fromMm;
    // A target that is itself an average over some weld is that much less sure.
    const sure = this.learning ? Math.sqrt(1 + windowMm / Math.max(this.learnedMm, windowMm / 2)) : 1;
    const z = (off - this.offset) / (sigma * sure);
    if (this.learning) this.learn(off, mm);
    return this.chart.add(z, mm / windowMm, piece.fromMm, piece.fromUs);
  }

  /** While changed: since where it has been over, once that is sure. */
  ended(off: number, sigma: number, windowMm: number, piece: Piece): Pick<Piece, 'fromMm' | 'fromUs'> | null {
    const { back } = this;
    if (!back) return null;
    const windows = (piece.toMm - piece.fromMm) / windowMm;
    const nearer = this.half - (this.turned * (off - this.offset)) / sigma;
    back.add(cappedZ(nearer, this.settings) * windows, windows, piece.fromMm, piece.fromUs);
    return back.sum > this.settings.h ? { fromMm: back.fromMm, fromUs: back.fromUs } : null;
  }

  /** A change of mean `shift` (z, signed) is followed from here. */
  follow(shift: number): void {
    this.turned = shift < 0 ? -1 : 1;
    this.resize(shift);
    this.back = new WeldSum();
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
    this.offset = offset;
    this.learning = true;
    this.learnedMm = mm;
    this.learnedSum = offset * mm;
  }

  window(off: number, sigma: number): void {
    const { lambda } = this.settings;
    this.level = lambda * ((off - this.offset) / sigma) + (1 - lambda) * this.level;
  }

  private learn(off: number, mm: number): void {
    this.learnedMm += mm;
    this.learnedSum += off * mm;
    this.offset = this.learnedSum / this.learnedMm;
    if (this.learnedMm >= RETARGET_MM) this.learning = false;
  }
}
