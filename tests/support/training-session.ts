/** A lesson as it went: windows, marks and arcs by the second. */
import type { Truth } from '#core/training/control';
import type { Mark } from '#core/training/session';

type Window = Truth['windows'][number];

const BEGAN_MS = Date.parse('2026-05-12T08:00:00.000Z');

export const utcAt = (second: number): string => new Date(BEGAN_MS + second * 1000).toISOString();

/** On rig-a, side A, from `fromS` to `toS` (null: it had not ended); 7.5 mm of weld a second. */
export function trainingWindow(
  id: string,
  fromS: number | null,
  toS: number | null,
  more: Partial<Window> = {},
): Window {
  return {
    id,
    kind: 'signal',
    fault: 'stickOut',
    size: 4,
    rig: 'rig-a',
    side: 'A',
    joint: 'T-1',
    pass: 'fill 1',
    fromMm: (fromS ?? 0) * 7.5,
    toMm: toS === null ? null : toS * 7.5,
    rampMm: 0,
    channels: ['weldingCurrent'],
    actions: ['call'],
    injected: false,
    beganUtc: fromS === null ? null : utcAt(fromS),
    endedUtc: toS === null ? null : utcAt(toS),
    ...more,
  };
}

export function trainingMark(id: string, atS: number, more: Partial<Mark> = {}): Mark {
  return {
    id,
    at: utcAt(atS),
    rig: 'rig-a',
    side: 'A',
    alongMm: atS * 7.5,
    channel: 'weldingCurrent',
    action: 'call',
    ...more,
  };
}

export const trainingArc = (fromS: number, toS: number, rig = 'rig-a', side: 'A' | 'B' = 'A') => ({
  rig,
  side,
  from: utcAt(fromS),
  to: utcAt(toS),
});
