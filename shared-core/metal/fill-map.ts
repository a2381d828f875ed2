import { areaBelow, fillHeight, type Groove, wallOf } from './groove.ts';

export interface Underfill {
  /** Along the outside from 12 o'clock, clockwise looking downstream; `toMm` < `fromMm` runs across 12 o'clock. */
  readonly fromMm: number;
  readonly toMm: number;
  /** The least share of the area wanted found in the stretch. */
  readonly leastShare: number;
}

/** Share of the area wanted below which a place is called underfilled. Common practice, no source. */
export const UNDERFILL_SHARE = 0.9;

/**
 * Metal laid down at each place round the joint, against the groove that has to hold it: the fill map.
 * Places are `binMm` of the outside circumference, area in mm², from wire feed and travel as they were. A gap in the record leaves the
 * place marked unobserved there: too little metal in the map, not in the joint, so it is never called underfilled.
 */
export class FillMap {
  readonly groove: Groove;
  readonly circumferenceMm: number;
  readonly binMm: number;
  readonly areaMm2: Float64Array;
  readonly unobserved: Uint8Array;

  constructor(groove: Groove, outsideDiameterMm: number, wantedBinMm = 5) {
    this.groove = groove;
    this.circumferenceMm = Math.PI * outsideDiameterMm;
    const bins = Math.max(1, Math.round(this.circumferenceMm / wantedBinMm));
    this.binMm = this.circumferenceMm / bins;
    this.areaMm2 = new Float64Array(bins);
    this.unobserved = new Uint8Array(bins);
  }

  /**
   * Spreads `volumeMm3` of weld metal evenly from `fromMm`, over `lengthMm` either way; no length puts it all at one place.
   * Positions may lie outside one turn.
   */
  deposit(fromMm: number, lengthMm: number, volumeMm3: number): void {
    const start = lengthMm < 0 ? fromMm + lengthMm : fromMm;
    const length = Math.abs(lengthMm);
    if (length < 1e-9) {
      const bin = this.#bin(Math.floor(start / this.binMm));
      this.areaMm2[bin] = this.areaMm2[bin]! + volumeMm3 / this.binMm;
      return;
    }
    const perMm = volumeMm3 / length;
    const end = start + length;
    const last = Math.ceil(end / this.binMm);
    for (let k = Math.floor(start / this.binMm); k < last; k++) {
      const overlap = Math.min(end, (k + 1) * this.binMm) - Math.max(start, k * this.binMm);
      if (overlap <= 0) continue;
      const bin = this.#bin(k);
      this.areaMm2[bin] = this.areaMm2[bin]! + (perMm * overlap) / this.binMm;
    }
  }

  /** Nothing was seen from `fromMm` over `lengthMm`: what was laid down there is not known. */
  markUnobserved(fromMm: number, lengthMm: number): void {
    const start = Math.min(fromMm, fromMm + lengthMm);
    const end = Math.max(fromMm, fromMm + lengthMm);
    for (let k = Math.floor(start / this.binMm); k <= Math.floor(end / this.binMm); k++) {
      this.unobserved[this.#bin(k)] = 1;
    }
  }

  #bin(k: number): number {
    const n = this.areaMm2.length;
    return ((k % n) + n) % n;
  }

  /** All metal laid down, mm³. */
  volumeMm3(): number {
    let sum = 0;
    for (const area of this.areaMm2) sum += area;
    return sum * this.binMm;
  }

  /** Height of the fill at a place, mm above the inside of the pipe. */
  heightAt(circumferentialMm: number): number {
    return fillHeight(this.groove, this.areaMm2[this.#bin(Math.floor(circumferentialMm / this.binMm))]!);
  }

  /**
   * Where metal is below 0.9 of the groove less the WPS's flush allowance, before the cap. Stretches are joined across bins and across
   * 12 o'clock; unobserved places are left out.
   */
  underfill(flushAllowanceMm: number): Underfill[] {
    const wanted = areaBelow(this.groove, wallOf(this.groove) - flushAllowanceMm);
    if (wanted <= 0) return [];
    const n = this.areaMm2.length;
    const low = (k: number): boolean =>
      this.unobserved[k] === 0 && this.areaMm2[k]! < UNDERFILL_SHARE * wanted;
    let first = 0;
    while (first < n && low(first)) first++;
    if (first === n) {
      let least = Number.POSITIVE_INFINITY;
      for (const area of this.areaMm2) least = Math.min(least, area / wanted);
      return [{ fromMm: 0, toMm: this.circumferenceMm, leastShare: least }];
    }
    const found: Underfill[] = [];
    // Starting at a place that is not low, no stretch is cut in two.
    for (let step = 1; step <= n; step++) {
      const start = (first + step) % n;
      if (!low(start)) continue;
      let least = Number.POSITIVE_INFINITY;
      let length = 0;
      while (low((start + length) % n)) {
        least = Math.min(least, this.areaMm2[(start + length) % n]! / wanted);
        length++;
      }
      const to = (start + length) % n;
      found.push({
        fromMm: start * this.binMm,
        toMm: to === 0 ? this.circumferenceMm : to * this.binMm,
        leastShare: least,
      });
      step += length;
    }
    return found;
  }
}
