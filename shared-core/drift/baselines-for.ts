import type { DriftBaseline, DriftChannel } from '../messages/drift.ts';
import type { ResolvedLimit } from '../procedure/limits.ts';
import type { BookEntry } from './baseline-book.ts';
import { driftZones, limitFor, sameZone, type Zone } from './drift-zones.ts';
import { learnedBaseline } from './learned-baseline.ts';
import { procedureBaseline, rangeOf } from './procedure-baseline.ts';

/**
 * Less than this is no change worth a word (our own choice): a share of the tolerance half-width, and of the mean,
 * where a channel is so steady that its steps of resolution would be all there is.
 */
const FLOOR_OF_HALF_WIDTH = 1 / 20;
const FLOOR_OF_MEAN = 0.0025;
const FLOOR_OF_SPREAD = 0.02;

/** The baselines of a pass, one per clock zone and all round last: what the rig taught, else the procedure's. */
export function baselinesFor(entry: BookEntry | null, limits: readonly ResolvedLimit[]): DriftBaseline[] {
  return driftZones(limits).map(zone => {
    const taught = (entry?.passes ?? []).flatMap(
      pass => pass.windows.find(statistics => sameZone(statistics.clockZone, zone)) ?? [],
    );
    return learnedBaseline(taught, floorIn(limits, zone)) ?? procedureBaseline(limits, zone);
  });
}

function floorIn(
  limits: readonly ResolvedLimit[],
  zone: Zone,
): (channel: DriftChannel, mean: number) => number {
  return (channel, mean) => {
    if (channel === 'currentSpread' || channel === 'voltageSpread') {
      return Math.max(FLOOR_OF_SPREAD * mean, 1e-9);
    }
    const range = rangeOf(limitFor(limits, channel, zone));
    return Math.max(
      range ? FLOOR_OF_HALF_WIDTH * range.halfWidth : 0,
      FLOOR_OF_MEAN * Math.abs(mean),
      // A channel that reads nothing but 0.
      1e-9,
    );
  };
}
