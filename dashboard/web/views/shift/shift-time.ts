import { localTime } from '#core/csv/local-time';
import { manner } from '../../text/text.ts';

/** "14:05" by the clocks of a zone. */
export const shiftTime = (utc: string, zone: string): string =>
  localTime(zone)(Date.parse(utc)).slice(11, 16);

/** The same, with its date where that is not `date`: "13 May 18:00". */
export function shiftMoment(utc: string, zone: string, date: string): string {
  const local = localTime(zone)(Date.parse(utc));
  if (local.startsWith(date)) return local.slice(11, 16);
  const tag = manner.value.language === 'es' ? 'es' : 'en-GB';
  const day = new Intl.DateTimeFormat(tag, { day: 'numeric', month: 'short', timeZone: zone });
  return `${day.format(Date.parse(utc))} ${local.slice(11, 16)}`;
}
