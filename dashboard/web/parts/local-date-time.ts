import { localTime, localWallMoment } from '#core/csv/local-time';
import { format } from '../text/text.ts';

/** Date and time by the clocks of the job, as a datetime-local input holds it. */
export const localDateTime = (ms: number): string => localTime(format().zone)(ms).slice(0, 16);

/** The same with its seconds. */
export const localSeconds = (ms: number): string => localTime(format().zone)(ms).slice(0, 19);

/** The moment typed by the clocks of the job, ms; null where it is none. */
export const wallMoment = (typed: string): number | null => localWallMoment(typed, format().zone);

/** Clocks of the device and of the server differ a little; a minute ahead is not the future, ms. */
const AHEAD_MS = 60_000;

/** The moment typed, ms; null where it is none or lies in the future. */
export function typedMoment(typed: string, nowMs: number): number | null {
  const at = wallMoment(typed);
  return at !== null && at <= nowMs + AHEAD_MS ? at : null;
}
