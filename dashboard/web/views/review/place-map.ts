/** Time of a pass ⇄ place along its side, through the windows: straight inside one, not known between stops. */
import type { ReviewWindow } from './window-names.ts';

/** Place at `s` seconds of the pass, mm along the side; null outside every window. */
export function placeAt(windows: readonly ReviewWindow[], s: number): number | null {
  const window = windows.find(({ fromS, toS }) => s >= fromS && s <= toS);
  if (!window || window.fromMm === null || window.toMm === null) return null;
  const { fromS, toS, fromMm, toMm } = window;
  return toS > fromS ? fromMm + ((s - fromS) / (toS - fromS)) * (toMm - fromMm) : fromMm;
}

/** Seconds of the pass when the side stood at `mm`, the first time; null where no window covers it. */
export function timeAt(windows: readonly ReviewWindow[], mm: number): number | null {
  for (const { fromMm, toMm, fromS, toS } of windows) {
    if (fromMm === null || toMm === null) continue;
    if (mm < Math.min(fromMm, toMm) || mm > Math.max(fromMm, toMm)) continue;
    return toMm === fromMm ? fromS : fromS + ((mm - fromMm) / (toMm - fromMm)) * (toS - fromS);
  }
  return null;
}

/** The window that covers `mm`; null where none does. */
export const windowAt = (windows: readonly ReviewWindow[], mm: number): ReviewWindow | null =>
  windows.find(
    ({ fromMm, toMm }) =>
      fromMm !== null && toMm !== null && mm >= Math.min(fromMm, toMm) && mm <= Math.max(fromMm, toMm),
  ) ?? null;

/** From the first to the last known place of a pass; null where none is known. */
export function extentOf(windows: readonly ReviewWindow[]): { fromMm: number; toMm: number } | null {
  const known = windows.flatMap(({ fromMm, toMm }) => [fromMm ?? [], toMm ?? []].flat());
  return known.length === 0 ? null : { fromMm: Math.min(...known), toMm: Math.max(...known) };
}
