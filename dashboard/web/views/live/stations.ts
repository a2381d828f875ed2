import type { Side } from '#core/messages/common';
import type { SideView } from '../../data/side-view.ts';

export interface Station {
  readonly key: string;
  /** Left on the screen: side A as the joint is looked at, downstream. */
  readonly left: SideView | null;
  readonly right: SideView | null;
  /** One ring where both weld one joint; else each side has its own. */
  readonly joints: readonly string[];
}

const sideOf = (view: SideView | undefined): Side | null => view?.work?.side ?? null;

/**
 * Places 0 and 1 are the first station, 2 and 3 the second, and so on, for ever: nothing is re-sorted.
 * Within a station side A stands left and side B right; without an assignment the lower place stands left.
 */
export function stations(views: readonly SideView[]): Station[] {
  const byStation = new Map<number, SideView[]>();
  for (const view of views) {
    const number = Math.floor(view.place / 2);
    byStation.set(number, [...(byStation.get(number) ?? []), view]);
  }
  return [...byStation.entries()]
    .sort(([a], [b]) => a - b)
    .flatMap(([number, members]) => {
      const sorted = [...members].sort((a, b) => a.place - b.place);
      // More than two in one station only if two rigs were given one place: nobody may vanish for that.
      const pairs: SideView[][] = [];
      for (let i = 0; i < sorted.length; i += 2) pairs.push(sorted.slice(i, i + 2));
      return pairs.map((pair, i) => stationOf(`${number}.${i}`, pair));
    });
}

function stationOf(key: string, [first, second]: readonly SideView[]): Station {
  const swap =
    second === undefined
      ? sideOf(first) === 'B' || (sideOf(first) === null && (first?.place ?? 0) % 2 === 1)
      : (sideOf(first) === 'B' && sideOf(second) !== 'B') ||
        (sideOf(first) !== 'A' && sideOf(second) === 'A');
  const [left, right] = swap ? [second, first] : [first, second];
  const joints = [left, right].flatMap(view => (view?.work ? [view.work.joint] : []));
  return { key, left: left ?? null, right: right ?? null, joints: [...new Set(joints)] };
}
