/** Invented alarms for the browser tests, and what a server would make of the actions. */
import type { Alarm, AlarmHistory, AlarmPicture } from '#core/messages/api-alarm';
import { START_UTC_MS } from './dashboard-fixtures.ts';

const utc = (ms: number): string => new Date(ms).toISOString();

/** Out of range on side B of J-0412 unless said otherwise, announced as number `alarm`. */
export function fakeAlarm(alarm: number, parts: Partial<Alarm> = {}): Alarm {
  return {
    alarm,
    site: 'spread-1',
    rig: 'rig-4',
    cause: 'outOfRange',
    origin: 'simulated',
    priority: 'medium',
    work: { joint: 'J-0412', side: 'B', pass: 'fill 2' },
    quantities: ['travelSpeed'],
    place: { alongMm: 430, clock: 2.7 },
    text: 'Travel speed (limits 5 to 9 mm/s): out of range (joint J-0412, side B, fill 2).',
    action: 'Check the setting against the welding procedure; tell the welding inspector.',
    lifecycle: 'unacked',
    availability: 'inService',
    sinceUtc: utc(START_UTC_MS - 42_000),
    clearedUtc: null,
    count: 1,
    acknowledged: null,
    announcement: { number: alarm, atUtc: utc(START_UTC_MS - 40_000) },
    fold: null,
    heard: true,
    ...parts,
  };
}

export const fakeNoData = (alarm: number, parts: Partial<Alarm> = {}): Alarm =>
  fakeAlarm(alarm, {
    rig: 'rig-3',
    cause: 'noDataWithArc',
    priority: 'high',
    work: { joint: 'J-0412', side: 'A', pass: 'fill 2' },
    quantities: [],
    place: { alongMm: 640, clock: 8 },
    text: 'The arc was on and no data arrives (joint J-0412, side A, fill 2).',
    action: 'Check the sensor box, its supply and its cable. What is welded meanwhile is not recorded.',
    ...parts,
  });

export function fakePicture(alarms: readonly Alarm[], parts: Partial<AlarmPicture> = {}): AlarmPicture {
  return {
    serverUtc: utc(START_UTC_MS),
    newest: Math.max(0, ...alarms.map(({ announcement }) => announcement?.number ?? 0)),
    alarms: [...alarms],
    folds: [],
    budget: {
      last10Min: alarms.length,
      lastHour: alarms.length,
      state: 'within',
      perHour: 6,
      ceilingPerHour: 12,
      floodAbovePer10Min: 10,
    },
    away: [],
    ...parts,
  };
}

/** Sixteen sides without data at once: told in one line. */
export function fakeFlood(): AlarmPicture {
  const alarms = Array.from({ length: 16 }, (_, i) =>
    fakeNoData(i + 1, {
      rig: `rig-${i + 1}`,
      work: { joint: `J-04${12 + Math.floor(i / 2)}`, side: i % 2 === 0 ? 'A' : 'B', pass: 'fill 2' },
      fold: 0,
    }),
  );
  return fakePicture(alarms, {
    folds: [{ fromUtc: utc(START_UTC_MS - 42_000), toUtc: utc(START_UTC_MS - 40_000), announcements: 16 }],
    budget: { ...fakePicture([]).budget, last10Min: 16, lastHour: 16, state: 'flood' },
  });
}

interface Action {
  readonly author: string;
  readonly alarms?: readonly number[];
  readonly site?: string | null;
  readonly rig?: string | null;
  readonly cause?: Alarm['cause'];
  readonly reason?: string;
  readonly minutes?: number;
  readonly inService?: boolean;
}

/** The picture after POST /api/v1/alarms/<what>. */
export function afterAction(picture: AlarmPicture, what: string, body: Action): AlarmPicture {
  const at = utc(START_UTC_MS);
  const isNamed = ({ alarm }: Alarm): boolean => body.alarms?.includes(alarm) ?? false;
  const isPoint = (one: Pick<Alarm, 'rig' | 'cause'>): boolean =>
    one.rig === body.rig && one.cause === body.cause;
  const change = (which: (alarm: Alarm) => boolean, part: (alarm: Alarm) => Partial<Alarm>) =>
    picture.alarms.map(alarm => (which(alarm) ? { ...alarm, ...part(alarm) } : alarm));
  const point = {
    site: body.site ?? null,
    rig: body.rig ?? null,
    cause: body.cause ?? 'outOfRange',
  } as const;
  const others = picture.away.filter(one => !isPoint(one));
  const by = { by: body.author, reason: body.reason ?? '', atUtc: at };
  if (what === 'acknowledge') {
    const acknowledged = { by: body.author, atUtc: at };
    return {
      ...picture,
      alarms: change(isNamed, ({ lifecycle, priority }) => ({
        acknowledged,
        lifecycle: lifecycle === 'unacked' ? 'acked' : priority === 'high' ? 'latched' : 'normal',
      })).filter(({ lifecycle }) => lifecycle !== 'normal'),
    };
  }
  if (what === 'reset') return { ...picture, alarms: picture.alarms.filter(alarm => !isNamed(alarm)) };
  if (what === 'shelve') {
    const shelf = { ...by, untilUtc: utc(Date.now() + (body.minutes ?? 0) * 60_000) };
    return {
      ...picture,
      alarms: change(isPoint, () => ({ availability: 'shelved' })),
      away: [...others, { ...point, shelf, outOfService: null }],
    };
  }
  if (what === 'out-of-service' && body.inService === false) {
    return {
      ...picture,
      alarms: change(isPoint, () => ({ availability: 'outOfService' })),
      away: [...others, { ...point, shelf: null, outOfService: by }],
    };
  }
  return { ...picture, alarms: change(isPoint, () => ({ availability: 'inService' })), away: others };
}

export function fakeHistory({ alarms }: AlarmPicture): AlarmHistory {
  const entries = alarms.flatMap(({ alarm, site, rig, cause, announcement, ...rest }, i) => {
    const { origin, priority, work, quantities, place, text, action } = rest;
    const about = { site, rig, cause, origin, priority, work, quantities, place, text, action };
    const entry = { alarm, site, rig, cause, about, by: null, reason: null, at: rest.sinceUtc };
    const announced = { ...entry, number: 2 * i + 2, what: 'announced' as const };
    const raised = { ...entry, number: 2 * i + 1, what: 'raised' as const };
    return announcement === null ? [raised] : [announced, raised];
  });
  return { entries, next: null };
}
