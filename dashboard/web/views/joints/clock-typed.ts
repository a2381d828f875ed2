import { typedNumber } from '../../text/typed-number.ts';

/** A place as it is said on site, `3`, `3:30`, `3.5`, `12:15`, as a clock position 0 < c ≤ 12; null when it is none. */
export function typedClock(typed: string): number | null {
  const [, hour, minute] = /^(\d{1,2}):([0-5]\d)$/.exec(typed.trim()) ?? [];
  const value =
    hour === undefined || minute === undefined ? typedNumber(typed) : Number(hour) + Number(minute) / 60;
  if (value === null || value <= 0 || value >= 13) return null;
  return value > 12 ? value - 12 : value;
}
