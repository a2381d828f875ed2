import type { ResolvedLimit } from '../procedure/limits.ts';
import {
  type OutOfRangeSpan,
  OutOfRangeWatch,
  type WatchChange,
  type WatchSettings,
} from './out-of-range-watch.ts';
import type { MeasuredQuantity, QuantityMeans } from './quantities.ts';

export type ClockZone = ResolvedLimit['clockZone'];

/** The sliding mean is held against the limits this often, µs of record time. */
const TICK_US = 100_000;

/** The live watch on every limit of the work in hand; pass averages are judged when there is a pass. */
export class LimitWatches {
  private settings: WatchSettings;
  private watches: OutOfRangeWatch[] = [];
  private tick = 0;

  constructor(settings: WatchSettings, limits: readonly ResolvedLimit[]) {
    this.settings = settings;
    this.reset(limits);
  }

  reset(limits: readonly ResolvedLimit[], settings: WatchSettings = this.settings): void {
    this.settings = settings;
    this.watches = limits
      .filter(limit => limit.basis !== 'pass')
      .map(limit => new OutOfRangeWatch(limit, this.settings));
  }

  /** True once per tick of record time, so that what is found does not depend on how samples arrived. */
  due(nowUs: number): boolean {
    const tick = Math.floor(nowUs / TICK_US);
    if (tick === this.tick) return false;
    this.tick = tick;
    return this.watches.length > 0;
  }

  evaluate(
    nowUs: number,
    mm: number | null,
    means: QuantityMeans,
    inZone: (zone: ClockZone) => boolean,
  ): WatchChange[] {
    return this.watches.map(watch => {
      const { quantity, clockZone } = watch.limit;
      return watch.evaluate(
        nowUs,
        mm,
        inZone(clockZone) ? (means[quantity as MeasuredQuantity] ?? null) : null,
      );
    });
  }

  /** The arc has stopped: what was out of range ends. */
  stop(us: number, mm: number | null): WatchChange[] {
    return this.watches.map(watch => watch.stop(us, mm));
  }

  /** What is out of range now. */
  get spans(): OutOfRangeSpan[] {
    return this.watches.flatMap(watch => watch.span ?? []);
  }
}
