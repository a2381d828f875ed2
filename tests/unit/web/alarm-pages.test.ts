import { describe, expect, it } from 'vitest';
import type { RigEvent } from '#core/messages/event';
import type { PassMessage } from '#core/messages/pass';
import { Trims } from '../../../dashboard/web/data/trims.ts';
import { aroundUrl, placeWords, timeWords } from '../../../dashboard/web/parts/alarm-words.ts';
import { parseRoute, routeUrl } from '../../../dashboard/web/routes.ts';
import { linesOf } from '../../../dashboard/web/views/alarms/alarm-list.tsx';
import { passAt } from '../../../dashboard/web/views/trends/use-trend-at.ts';
import { START_UTC_MS } from '../../support/dashboard-fixtures.ts';
import { fakeAlarm, fakeFlood } from '../../support/fake-alarms.ts';
import { testPass } from '../../support/test-records.ts';
import { waitUntil } from '../../support/wait-until.ts';

describe('addresses', () => {
  it.each([
    '#/alarms',
    '#/alarms/away',
    '#/alarms/history',
    '#/trends/s/r?at=2026-05-12T14:03:22.000Z',
    '#/trends/s/r?span=60',
  ])('%s leads there and back', hash => {
    expect(routeUrl(parseRoute(hash))).toBe(hash);
  });

  it('what is no moment, or no page of alarms, is the usual one', () => {
    expect(parseRoute('#/trends/s/r?at=yesterday')).toEqual({
      view: 'trends',
      site: 's',
      rig: 'r',
      spanS: 120,
    });
    expect(parseRoute('#/alarms/elsewhere')).toEqual({ view: 'alarms', tab: 'now' });
  });

  it('an alarm leads to its own beginning; one of the dashboard to none', () => {
    expect(aroundUrl(fakeAlarm(1))).toBe('#/trends/spread-1/rig-4?at=2026-05-12T14:02:18.000Z');
    expect(aroundUrl(fakeAlarm(1, { site: null, rig: null, cause: 'brokerLost' }))).toBeNull();
  });
});

describe('words of an alarm', () => {
  it('place it as far as it is known', () => {
    expect(placeWords(fakeAlarm(1))).toEqual(['J-0412', 'side B', 'fill 2', '2:42 o’clock', 'rig-4']);
    expect(placeWords(fakeAlarm(1, { place: { alongMm: 430, clock: null } }))).toContain('430 mm');
    expect(placeWords(fakeAlarm(1, { rig: null, work: null, place: null }))).toEqual(['dashboard']);
  });

  it('say since when and for how long, or from when to when', () => {
    const since = Date.parse(fakeAlarm(1).sinceUtc);
    expect(timeWords(fakeAlarm(1), since + 71_000)).toMatch(/^since \d\d:\d\d:18 \(1:11\)$/);
    // A device whose clock is behind shows no time before zero.
    expect(timeWords(fakeAlarm(1), since - 5000)).toMatch(/\(0:00\)$/);
    expect(timeWords(fakeAlarm(1), since + 2 * 86_400_000)).toMatch(
      /^since 1[123] May, \d\d:\d\d \(48:00:00\)$/,
    );
    const over = fakeAlarm(1, { clearedUtc: new Date(since + 60_000).toISOString() });
    expect(timeWords(over, since + 90_000)).toMatch(/^\d\d:\d\d:18 to \d\d:\d\d:18$/);
  });

  it('those of one fold are one line where the first of them stands', () => {
    const { alarms } = fakeFlood();
    const lines = linesOf([fakeAlarm(90), ...alarms, fakeAlarm(91)]);
    expect(lines.map(line => line.alarms.length)).toEqual([1, 16, 1]);
  });
});

describe('the pass of a moment', () => {
  const pass = testPass(1);
  const inPass = (ms: number, of: PassMessage = pass) => passAt([of], Date.parse(of.startUtc) + ms);
  it('is the one that was welded then, or is being welded', () => {
    expect(inPass(1000)).toBe(pass);
    const lengthMs = Date.parse(pass.endUtc) - Date.parse(pass.startUtc);
    expect(inPass(lengthMs + 60_000)).toBeNull();
    const open = { ...pass, state: 'open' as const };
    expect(inPass(lengthMs + 60_000, open)).toBe(open);
    expect(inPass(-60_000, open)).toBeNull();
  });
});

describe('trims', () => {
  const trim = (n: number, parts: Partial<RigEvent> = {}): RigEvent => ({
    origin: 'simulated',
    id: `s:${n}`,
    type: 'trim',
    tUs: n * 1e6,
    at: new Date(START_UTC_MS).toISOString(),
    passIndex: 3,
    text: 'Travel speed trimmed.',
    data: { quantity: 'travelSpeed', baseline: 7.5, change: -0.3, fromClock: 4 },
    ...parts,
  });
  const told = (event: RigEvent) => ({ site: 's', rig: 'r', event });

  it('are those of the running pass, stored and of the stream, each once', async () => {
    const asked: string[] = [];
    const trims = new Trims(async (site, rig) => {
      asked.push(`${site}/${rig}`);
      return { events: [told(trim(1)), told(trim(0, { passIndex: 2 }))], next: null };
    });
    trims.onEvent('event', told(trim(2)));
    trims.want('s', 'r', 3);
    trims.want('s', 'r', 3);
    await waitUntil(() => trims.of('s/r', 3).length === 2, 'the stored ones');
    trims.onEvent('event', told(trim(2)));
    trims.onEvent('event', told(trim(3, { type: 'driftStart' })));
    expect(trims.of('s/r', 3).map(({ tUs, percent }) => [tUs, percent])).toEqual([
      [1e6, -4],
      [2e6, -4],
    ]);
    expect(trims.of('s/r', null)).toEqual([]);
    expect(asked).toEqual(['s/r']);
  });

  it('without a level before have no share, and say their sentence', () => {
    const trims = new Trims(async () => ({ events: [], next: null }));
    trims.onEvent('event', told(trim(1, { data: { quantity: 'travelSpeed', baseline: null, change: 1 } })));
    expect(trims.of('s/r', 3)).toMatchObject([{ percent: null, text: 'Travel speed trimmed.' }]);
  });
});
