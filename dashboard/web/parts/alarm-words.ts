import type { Alarm } from '#core/messages/api-alarm';
import { type Route, routeUrl } from '../routes.ts';
import { durationText, oClockText } from '../text/format.ts';
import { format, text } from '../text/text.ts';
import { whenText } from './when-text.ts';

const DAY_MS = 86_400_000;

/** Where it belongs, from the rig to the place on the ring. */
export function placeWords({ rig, work, place }: Pick<Alarm, 'rig' | 'work' | 'place'>): string[] {
  const t = text.value.alarms;
  const where = [];
  if (place !== null) {
    where.push(
      place.clock === null ? format().measure('length', place.alongMm) : t.at(oClockText(place.clock)),
    );
  }
  return [
    ...(work === null ? [] : [work.joint, t.sideOf(work.side), work.pass]),
    ...where,
    rig ?? t.dashboard,
  ];
}

/** Since when, for how long, and how often. */
export function timeWords({ sinceUtc, clearedUtc }: Alarm, nowMs: number): string {
  const t = text.value.alarms;
  const since = Date.parse(sinceUtc);
  const from = nowMs - since > DAY_MS ? whenText(since) : format().timeOfDay(since);
  if (clearedUtc !== null) return t.from(from, format().timeOfDay(Date.parse(clearedUtc)));
  return t.since(from, durationText(Math.max(0, (nowMs - since) / 1000)));
}

/** The trends around its beginning; null where it is of no rig. */
export function aroundUrl({ site, rig, sinceUtc }: Alarm): string | null {
  if (site === null || rig === null) return null;
  const route: Route = { view: 'trends', site, rig, spanS: 120, atMs: Date.parse(sinceUtc) };
  return routeUrl(route);
}
