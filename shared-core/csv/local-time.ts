/** Times as tables carry them: UTC, and beside it local time with its offset, so that no reader has to guess. */

/** Clocks are put forward and back at full quarters of an hour UTC (IANA time zone database, since 1972). */
const OFFSET_HOLDS_MS = 900_000;
const DAY_MS = 86_400_000;

/** An IANA zone such as Europe/Berlin, or UTC. */
export function isZone(zone: string): boolean {
  // Newer engines also take "+02:00", which is no place.
  if (!/^[A-Za-z][A-Za-z0-9_+\-/]{0,63}$/.test(zone)) return false;
  try {
    new Intl.DateTimeFormat('en', { timeZone: zone });
    return true;
  } catch {
    return false;
  }
}

/** "2026-01-31T08:00:00.000Z" (RFC 3339). */
export function utcTime(utcMs: number): string {
  return new Date(utcMs).toISOString();
}

/** "2026-01-31T09:00:00.000+01:00" of one zone; throws RangeError for a zone that does not exist. */
export function localTime(zone: string): (utcMs: number) => string {
  const offsetMs = offsetOf(zone);
  return utcMs => {
    const ms = offsetMs(utcMs);
    const minutes = Math.abs(ms) / 60_000;
    const two = (n: number): string => String(Math.floor(n)).padStart(2, '0');
    const sign = ms < 0 ? '-' : '+';
    return `${new Date(utcMs + ms).toISOString().slice(0, -1)}${sign}${two(minutes / 60)}:${two(minutes % 60)}`;
  };
}

/** "2026-01-31": the day of a moment, by the clocks of a zone. */
export const localDate = (utcMs: number, zone: string): string => localTime(zone)(utcMs).slice(0, 10);

/** A moment as clocks show it, "2026-01-31T09:00" with or without seconds, ms UTC; null where it is none. */
export function localWallMoment(wall: string, zone: string): number | null {
  const [, date = '', hour = '', minute = '', second = '0'] =
    /^(\d{4}-\d\d-\d\d)T([01]\d|2[0-3]):([0-5]\d)(?::([0-5]\d))?(?:\.0+)?$/.exec(wall) ?? [];
  if (date === '') return null;
  return localMoment(date, Number(hour) + Number(minute) / 60 + Number(second) / 3600, zone);
}

/** From the first moment of a local day to the first of the next, ms; null for a date that does not exist. */
export function localDay(date: string, zone: string): { fromMs: number; toMs: number } | null {
  const fromMs = localMoment(date, 0, zone);
  const toMs = localMoment(date, 24, zone);
  return fromMs === null || toMs === null ? null : { fromMs, toMs };
}

/** When clocks first show an hour of a date, ms UTC; hours from 24 on are of the days after. Null: no such date. */
export function localMoment(date: string, hour: number, zone: string): number | null {
  const utcMidnight = Date.parse(`${date}T00:00:00Z`);
  if (!/^\d{4}-\d\d-\d\d$/.test(date) || !Number.isFinite(utcMidnight)) return null;
  if (utcTime(utcMidnight).slice(0, 10) !== date) return null;
  return firstMoment(utcMidnight + Math.round(hour * 3_600_000), offsetOf(zone));
}

/** Where clocks change then, the first moment is a later one, or the first of two. */
function firstMoment(asUtc: number, offsetMs: (utcMs: number) => number): number {
  const found = [asUtc - DAY_MS, asUtc + DAY_MS]
    .map(near => asUtc - offsetMs(near))
    .filter(at => at + offsetMs(at) >= asUtc);
  return Math.min(...found);
}

/** Local time minus UTC, ms. */
function offsetOf(zone: string): (utcMs: number) => number {
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hourCycle: 'h23',
    year: 'numeric',
    month: '2-digit',
    day: '2-digit',
    hour: '2-digit',
    minute: '2-digit',
    second: '2-digit',
  });
  let bucket = Number.NaN;
  let offset = 0;
  return utcMs => {
    const wanted = Math.floor(utcMs / OFFSET_HOLDS_MS);
    if (wanted === bucket) return offset;
    const startMs = wanted * OFFSET_HOLDS_MS;
    const part = Object.fromEntries(
      format.formatToParts(startMs).map(({ type, value }) => [type, Number(value)]),
    );
    const { year = 0, month = 1, day = 1, hour = 0, minute = 0, second = 0 } = part;
    bucket = wanted;
    offset = Date.UTC(year, month - 1, day, hour, minute, second) - startMs;
    return offset;
  };
}
