/**
 * Windows of weld length: tumbling, each the whole number of oscillation cycles nearest the set length
 * (25 mm), or the set length where nothing oscillates. A window never spans a stop and never divides by
 * no length: standing time is not in it.
 */

import type { Slice } from '../arc/slice.ts';
import { addSums, SUM, type Sums, zeroSums } from '../arc/sums.ts';
import { MIN_WINDOW_MM } from './quantities.ts';

export interface WeldWindow {
  readonly fromUs: number;
  readonly toUs: number;
  /** Along the side from its start, mm at the weld. */
  readonly fromMm: number;
  readonly toMm: number;
  readonly lengthMm: number;
  readonly sums: Sums;
  /** Not cut short by a stop, and the arc was on and observed all through. */
  readonly whole: boolean;
}

export class WeldWindows {
  readonly closed: WeldWindow[] = [];
  private readonly lengthMm: number;
  private sums = zeroSums();
  private weldMm = 0;
  private fromUs = 0;
  private toUs = 0;
  private fromMm = 0;
  private toMm = 0;
  private disturbed = false;

  constructor(lengthMm: number) {
    this.lengthMm = lengthMm;
  }

  /** A slice of burning, moving arc that ended at `alongMm` and covered `weldMm`. */
  add(slice: Slice, weldMm: number, alongMm: number): void {
    if (this.sums[SUM.observedS] === 0) {
      this.fromUs = slice.fromUs;
      this.fromMm = alongMm - weldMm;
    }
    addSums(this.sums, slice.sums);
    this.toUs = slice.toUs;
    this.stretch(weldMm, alongMm);
  }

  /** Weld covered in a drop-out that the arc survived: length without an arc. */
  addDropOut(dropOut: Sums, weldMm: number, alongMm: number): void {
    if (this.sums[SUM.observedS] === 0) return;
    this.sums[SUM.travelMm]! += dropOut[SUM.travelMm]!;
    this.sums[SUM.travelKnownS]! += dropOut[SUM.travelKnownS]!;
    this.disturbed = true;
    this.stretch(weldMm, alongMm);
  }

  /** The arc stopped: what has been gathered is a window of its own if it is long enough. */
  stop(): void {
    if (this.weldMm >= MIN_WINDOW_MM) this.close(false);
    else this.discard();
  }

  /** Nothing was observed for a while: the window goes on, and is not whole. */
  disturb(): void {
    if (this.sums[SUM.observedS]! > 0) this.disturbed = true;
  }

  discard(): void {
    this.sums = zeroSums();
    this.weldMm = 0;
    this.disturbed = false;
  }

  private stretch(weldMm: number, alongMm: number): void {
    this.weldMm += weldMm;
    this.toMm = alongMm;
    if (this.weldMm >= MIN_WINDOW_MM && this.full()) this.close(true);
  }

  private full(): boolean {
    const cycles = this.sums[SUM.oscillationCycles]!;
    const known = this.sums[SUM.oscillationKnownS]! >= this.sums[SUM.observedS]!;
    if (cycles <= 0 || !known) return this.weldMm >= this.lengthMm;
    const mmPerCycle = this.weldMm / cycles;
    return cycles >= Math.max(1, Math.round(this.lengthMm / mmPerCycle));
  }

  private close(full: boolean): void {
    const { fromUs, toUs, fromMm, toMm, weldMm, sums } = this;
    const whole = full && !this.disturbed;
    this.closed.push({ fromUs, toUs, fromMm, toMm, lengthMm: weldMm, sums, whole });
    this.discard();
  }
}
