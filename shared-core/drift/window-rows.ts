/** The windows of a pass as rows of channels, and what their sums teach. */
import { DRIFT_CHANNELS, type WindowStatistics } from '../messages/drift.ts';
import type { Zone } from './drift-zones.ts';

export interface WindowRow {
  readonly zone: number;
  readonly fromMm: number;
  readonly toMm: number;
  readonly fromUs: number;
  readonly toUs: number;
  /** In the order of DRIFT_CHANNELS, NaN where unknown. */
  readonly values: Float64Array;
  /** The window before it ended where this one begins. */
  readonly follows: boolean;
}

/** A level that was meant to change: its channel counts with what it would have been. */
export interface MeantChange {
  readonly channel: number;
  readonly fromMm: number;
  readonly change: number;
}

/** Sums over the windows of each zone; of a channel only where every window of the zone knew it. */
export function windowStatistics(
  rows: readonly WindowRow[],
  zones: readonly Zone[],
  meant: readonly MeantChange[],
): WindowStatistics[] {
  return zones.flatMap((zone, index) => {
    const these = rows.filter(
      row => row.zone === index && !meant.some(({ fromMm }) => row.fromMm < fromMm && row.toMm > fromMm),
    );
    return these.length === 0 ? [] : [sumsOf(these, zone, meant)];
  });
}

function sumsOf(rows: readonly WindowRow[], zone: Zone, meant: readonly MeantChange[]): WindowStatistics {
  const used = DRIFT_CHANNELS.map((_, channel) => channel).filter(channel =>
    rows.every(row => !Number.isNaN(row.values[channel]!)),
  );
  const plain = rows.map(row =>
    used.map(channel =>
      meant.reduce(
        (value, one) => (one.channel === channel && row.fromMm >= one.fromMm ? value - one.change : value),
        row.values[channel]!,
      ),
    ),
  );
  const n = rows.length;
  const mean = used.map((_, j) => plain.reduce((sum, row) => sum + row[j]!, 0) / n);
  const p = used.length;
  const coMoment = new Array<number>(p * p).fill(0);
  const lagCoMoment = new Array<number>(p).fill(0);
  let pairs = 0;
  plain.forEach((row, at) => {
    const before = rows[at]!.follows ? plain[at - 1] : undefined;
    if (before) pairs++;
    for (let i = 0; i < p; i++) {
      const d = row[i]! - mean[i]!;
      for (let j = 0; j < p; j++) coMoment[i * p + j]! += d * (row[j]! - mean[j]!);
      if (before) lagCoMoment[i]! += d * (before[i]! - mean[i]!);
    }
  });
  return {
    clockZone: zone && { from: zone.from, to: zone.to },
    windows: n,
    channels: used.map(channel => DRIFT_CHANNELS[channel]!),
    mean,
    coMoment,
    pairs,
    lagCoMoment,
  };
}
