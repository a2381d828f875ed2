const twoDigits = (n: number): string => String(n).padStart(2, '0');

/** Local date and time as a datetime-local input holds it. */
export function localDateTime(ms: number): string {
  const at = new Date(ms);
  const date = [at.getFullYear(), twoDigits(at.getMonth() + 1), twoDigits(at.getDate())].join('-');
  return `${date}T${twoDigits(at.getHours())}:${twoDigits(at.getMinutes())}`;
}

/** Clocks of the device and of the server differ a little; a minute ahead is not the future, ms. */
const AHEAD_MS = 60_000;

/** The moment typed, ms; null where it is none or lies in the future. */
export function typedMoment(typed: string, nowMs: number): number | null {
  const at = Date.parse(typed);
  return Number.isFinite(at) && at <= nowMs + AHEAD_MS ? at : null;
}
