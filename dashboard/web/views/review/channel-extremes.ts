/** The samples of a stretch as rows of numbers: of each window the least and greatest reading, not its mean. */
import type { Samples } from '#core/messages/api';
import type { ReviewWindow } from './window-names.ts';

export interface Extremes {
  readonly low: number;
  readonly high: number;
}

export interface ExtremesRow {
  readonly window: ReviewWindow;
  /** By channel; null where no reading is known there. */
  readonly values: Readonly<Record<string, Extremes | null>>;
}

type Series = Samples['series'][number];

/** Least and greatest of a series between two moments of record time, ends included; null where nothing is known. */
export function extremesBetween({ tUs, min, max }: Series, fromUs: number, toUs: number): Extremes | null {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < tUs.length; i++) {
    const at = tUs[i]!;
    const [least, greatest] = [min[i], max[i]];
    if (at < fromUs || at > toUs || least == null || greatest == null) continue;
    low = Math.min(low, least);
    high = Math.max(high, greatest);
  }
  return low <= high ? { low, high } : null;
}

/** A row for each window that lies in the samples' range. */
export function extremesRows(
  samples: Samples,
  windows: readonly ReviewWindow[],
  startUs: number,
): ExtremesRow[] {
  return windows.flatMap((window): ExtremesRow[] => {
    const [fromUs, toUs] = [startUs + window.fromS * 1e6, startUs + window.toS * 1e6];
    if (toUs <= samples.fromUs || fromUs >= samples.toUs) return [];
    const values = Object.fromEntries(
      samples.series.map(series => [series.channel, extremesBetween(series, fromUs, toUs)]),
    );
    return Object.values(values).every(one => one === null) ? [] : [{ window, values }];
  });
}
