/**
 * Weld in which nothing was wrong, cut into windows as long as the usual signal (the median of those that ended), so
 * that a false alarm has as much room as a hit. Taken from each stretch of burning arc, from its beginning, without any
 * signal (and the time in which it can be answered late) or decoy; what is left over at the end of a stretch is dropped.
 */

import type { Side } from '../messages/common.ts';
import { median } from '../statistics/median.ts';
import { LATE_S, type PlacedWindow } from './match-marks.ts';

/** A stretch of time of one rig and side, running seconds. */
export interface Stretch {
  readonly rig: string;
  readonly side: Side;
  readonly fromS: number;
  readonly toS: number;
}

/** s; null where no signal ended. */
export function usualLengthS(windows: readonly PlacedWindow[]): number | null {
  const lengths = windows
    .filter(({ window, endedS }) => window.kind === 'signal' && Number.isFinite(endedS))
    .map(({ beganS, endedS }) => endedS - beganS)
    .filter(length => length > 0);
  return median(lengths);
}

export function cleanWindows(arcs: readonly Stretch[], windows: readonly PlacedWindow[]): Stretch[] {
  const lengthS = usualLengthS(windows);
  if (lengthS === null) return [];
  return arcs.flatMap(arc => {
    const taken = windows
      .filter(({ window }) => window.rig === arc.rig && window.side === arc.side)
      .map(({ window, beganS, endedS }) => ({
        fromS: beganS,
        toS: endedS + (window.kind === 'signal' ? LATE_S : 0),
      }))
      .sort((a, b) => a.fromS - b.fromS);
    const clean: Stretch[] = [];
    let fromS = arc.fromS;
    for (const one of [...taken, { fromS: arc.toS, toS: arc.toS }]) {
      const toS = Math.min(one.fromS, arc.toS);
      const pieces = Math.floor((toS - fromS) / lengthS + 1e-9);
      for (let i = 0; i < pieces; i++) {
        clean.push({ ...arc, fromS: fromS + i * lengthS, toS: fromS + (i + 1) * lengthS });
      }
      fromS = Math.max(fromS, one.toS);
    }
    return clean;
  });
}
