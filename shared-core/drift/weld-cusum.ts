/**
 * The two-sided CUSUM of cusum.ts in weld length: each short step of weld adds (z − k)·length/window, so after a whole
 * window it has added what the tabular form adds for that window, and it looks every step instead of every window.
 * No window need begin where the change does. A step counts no more than k + 2h: a mishap of one step calls nothing.
 */
import type { CusumSettings, Direction } from './cusum.ts';

export interface WeldSignal {
  readonly direction: Direction;
  /** Where the sum was last at zero. */
  readonly fromMm: number;
  readonly fromUs: number;
  /** Mean z since, signed: k + C/N (Montgomery 9.1). */
  readonly shift: number;
}

/** One side: evidence added up, never below zero, and where it began. */
export class WeldSum {
  sum = 0;
  fromMm = 0;
  fromUs = 0;
  /** Windows of weld since the sum was at zero. */
  windows = 0;

  add(by: number, windows: number, fromMm: number, fromUs: number): void {
    if (this.sum === 0) {
      this.fromMm = fromMm;
      this.fromUs = fromUs;
      this.windows = 0;
    }
    this.sum = Math.max(0, this.sum + by);
    this.windows += windows;
  }
}

export class WeldCusum {
  private readonly settings: CusumSettings;
  private high = new WeldSum();
  private low = new WeldSum();

  constructor(settings: CusumSettings) {
    this.settings = settings;
  }

  /** The larger of both sums. */
  get most(): number {
    return Math.max(this.high.sum, this.low.sum);
  }

  reset(): void {
    this.high = new WeldSum();
    this.low = new WeldSum();
  }

  /** A step with mean z that is `windows` of a window long and began at `fromMm`, `fromUs`. */
  add(z: number, windows: number, fromMm: number, fromUs: number): WeldSignal | null {
    const { k, h } = this.settings;
    const capped = cappedZ(z, this.settings);
    this.high.add((capped - k) * windows, windows, fromMm, fromUs);
    this.low.add((-capped - k) * windows, windows, fromMm, fromUs);
    const up = this.high.sum >= this.low.sum;
    const side = up ? this.high : this.low;
    if (side.sum <= h) return null;
    const size = k + side.sum / side.windows;
    const direction = up ? 'high' : 'low';
    return { direction, fromMm: side.fromMm, fromUs: side.fromUs, shift: up ? size : -size };
  }
}

export function cappedZ(z: number, { k, h }: CusumSettings): number {
  const most = k + 2 * h;
  return Math.max(-most, Math.min(most, z));
}
