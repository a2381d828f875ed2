import type { Samples } from '#core/messages/api';
import type { TrailPoint } from './live-trail.ts';

export interface Xy {
  readonly x: number;
  /** NaN breaks the line: nothing is drawn over what was not recorded. */
  readonly y: number;
}

export interface Span {
  readonly fromUs: number;
  readonly toUs: number;
}

export type TrendChannel = 'current' | 'voltage' | 'wireFeed' | 'travel' | 'power' | 'arcEnergy';

/** The store's channel of each trend; arc energy so far is only ever live. */
export const STORED_CHANNEL: Readonly<Partial<Record<TrendChannel, string>>> = {
  current: 'weldingCurrent',
  voltage: 'arcVoltage',
  wireFeed: 'wireFeedSpeed',
  travel: 'travelSpeed',
  power: 'power',
};

interface Bucket {
  readonly tUs: number;
  readonly min: number;
  readonly max: number;
}

/** Longer than this between two points is a break in the line, µs. */
const BREAK_US = 2e6;

/**
 * Stored history and live values as one contract: the store's extremes up to where it has them, the page's
 * own live values after that. Later readings of the store replace what was live.
 */
export class TrendHistory {
  readonly #buckets = new Map<string, Bucket[]>();
  gaps: Span[] = [];
  /** Record time up to which the store has answered, µs; null before its first answer. */
  uptoUs: number | null = null;
  utcMinusRecordMs: number | null = null;

  /**
   * An answer of the store: replaces everything from its `fromUs` on. A gap that reaches its end is no
   * gap yet: the newest second is still on its way.
   */
  merge(samples: Samples): void {
    const { fromUs } = samples;
    let newest = this.uptoUs ?? fromUs;
    for (const series of samples.series) {
      const kept = (this.#buckets.get(series.channel) ?? []).filter(bucket => bucket.tUs < fromUs);
      const fresh = series.tUs.map((tUs, i) => ({
        tUs,
        min: series.min[i] ?? NaN,
        max: series.max[i] ?? NaN,
      }));
      this.#buckets.set(series.channel, [...kept, ...fresh]);
      newest = Math.max(newest, series.tUs.at(-1) ?? newest);
    }
    this.gaps = [
      ...this.gaps.filter(gap => gap.toUs < fromUs),
      ...samples.gaps.filter(gap => gap.toUs < samples.toUs),
    ];
    this.uptoUs = newest;
    this.utcMinusRecordMs = samples.utcMinusRecordMs ?? this.utcMinusRecordMs;
  }

  /**
   * Points of one trend in a span, in stored units, oldest first, x in µs of record time. `storedScale` turns
   * what the device reported into what the live values and the limits speak of: see `storedScale()`.
   */
  points(channel: TrendChannel, span: Span, trail: readonly TrailPoint[], storedScale = 1): Xy[] {
    const stored = STORED_CHANNEL[channel];
    const buckets = stored === undefined ? [] : (this.#buckets.get(stored) ?? []);
    const points: Xy[] = [];
    const add = (x: number, y: number): void => {
      const last = points.at(-1);
      if (last !== undefined && x - last.x > BREAK_US) points.push({ x: last.x + 1, y: NaN });
      points.push({ x, y });
    };
    for (const { tUs, min, max } of buckets) {
      if (tUs < span.fromUs || tUs > span.toUs) continue;
      // Both extremes of a bucket, at one place: no excursion disappears.
      add(tUs, min * storedScale);
      if (max !== min) points.push({ x: tUs, y: max * storedScale });
    }
    const from = buckets.at(-1)?.tUs ?? Number.NEGATIVE_INFINITY;
    for (const point of trail) {
      if (point.tUs <= from || point.tUs < span.fromUs || point.tUs > span.toUs) continue;
      const value = point[channel];
      if (value === null) points.push({ x: point.tUs, y: NaN });
      else add(point.tUs, value);
    }
    return points;
  }

  /** True when neither the store nor this page has anything of a channel. */
  lacks(channel: TrendChannel, trail: readonly TrailPoint[]): boolean {
    const stored = STORED_CHANNEL[channel];
    const inStore = stored !== undefined && (this.#buckets.get(stored)?.length ?? 0) > 0;
    return !inStore && trail.every(point => point[channel] === null);
  }

  /** Lets go of what is older than any trend shows. */
  trim(beforeUs: number): void {
    for (const [channel, buckets] of this.#buckets) {
      this.#buckets.set(
        channel,
        buckets.filter(bucket => bucket.tUs >= beforeUs),
      );
    }
    this.gaps = this.gaps.filter(gap => gap.toUs >= beforeUs);
  }
}

/**
 * Stored travel is at the rig's reference radius; live travel and its limits are at the pipe's surface.
 * 1 where a radius is unknown, as in the engine.
 */
export function storedScale(
  channel: TrendChannel,
  referenceRadiusMm: number | null,
  outsideDiameterMm: number | null,
): number {
  const known = channel === 'travel' && referenceRadiusMm !== null && outsideDiameterMm !== null;
  return known ? outsideDiameterMm / 2 / referenceRadiusMm : 1;
}

export interface TrendStats {
  readonly now: number | null;
  readonly min: number | null;
  readonly max: number | null;
}

/** Newest, least and greatest of what is drawn. */
export function trendStats(points: readonly Xy[], now: number | null): TrendStats {
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  for (const { y } of points) {
    if (Number.isNaN(y)) continue;
    min = Math.min(min, y);
    max = Math.max(max, y);
  }
  return { now, min: Number.isFinite(min) ? min : null, max: Number.isFinite(max) ? max : null };
}
