/** Windows of a pass as rows of a table: each window, or sectors of 30° with means by length. */
import { type ReviewWindow, WINDOW_NAMES, type WindowName } from './window-names.ts';

export interface WindowRow {
  readonly key: string;
  readonly fromMm: number | null;
  readonly toMm: number | null;
  readonly fromClock: number | null;
  readonly toClock: number | null;
  readonly fromS: number;
  readonly toS: number;
  readonly values: Readonly<Record<WindowName, number | null>>;
  readonly out: readonly string[];
}

export const windowRow = (window: ReviewWindow): WindowRow => ({ ...window, key: String(window.fromS) });

/** Hours of the clock a sector covers: 30°. */
const SECTOR_H = 1;

/** Windows by the hour their middle lies in, in the order welded; unknown places stay apart from each other. */
export function sectorRows(windows: readonly ReviewWindow[]): WindowRow[] {
  const rows: { hour: number; windows: ReviewWindow[] }[] = [];
  for (const window of windows) {
    const { fromClock, toClock } = window;
    const hour =
      fromClock === null || toClock === null
        ? -1
        : Math.floor((middleOf(fromClock, toClock) % 12) / SECTOR_H);
    const last = rows.at(-1);
    if (last && last.hour === hour && hour >= 0) last.windows.push(window);
    else rows.push({ hour, windows: [window] });
  }
  return rows.map(({ windows: inside }) => merged(inside));
}

/** The middle of a short stretch of the clock, also over 12. */
function middleOf(from: number, to: number): number {
  const apart = ((to - from + 18) % 12) - 6;
  return (from + apart / 2 + 12) % 12;
}

function merged(windows: readonly ReviewWindow[]): WindowRow {
  const first = windows[0]!;
  const last = windows.at(-1)!;
  const weight = ({ fromMm, toMm, fromS, toS }: ReviewWindow): number =>
    fromMm !== null && toMm !== null ? Math.abs(toMm - fromMm) : toS - fromS;
  const total = windows.reduce((sum, window) => sum + weight(window), 0);
  const mean = (name: WindowName): number | null => {
    let sum = 0;
    for (const window of windows) {
      const value = window.values[name];
      if (value === null) return null;
      sum += value * weight(window);
    }
    return total > 0 ? sum / total : null;
  };
  return {
    key: String(first.fromS),
    fromMm: first.fromMm,
    toMm: last.toMm,
    fromClock: first.fromClock,
    toClock: last.toClock,
    fromS: first.fromS,
    toS: last.toS,
    values: Object.fromEntries(WINDOW_NAMES.map(name => [name, mean(name)])) as WindowRow['values'],
    out: [...new Set(windows.flatMap(({ out }) => out))],
  };
}
