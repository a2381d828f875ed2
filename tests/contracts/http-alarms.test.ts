/** Alarms over HTTP and on the stream: who may, what is refused, what every screen hears. */
import { describe, expect, it } from 'vitest';
import type { AlarmPicture } from '#core/messages/api-alarm';
import type { RouteSpec } from '../../dashboard/server/api/route.ts';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { condition, NO_DATA, RIG_A } from '../support/alarm-desk.ts';
import { answer, filled, problem } from '../support/http-answers.ts';
import { readEvents } from '../support/sse-reader.ts';
import { START_MS } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

const POINT = { ...RIG_A, cause: 'outOfRange' } as const;

async function watched() {
  const dashboard = await filled();
  const person = async (name: string, role: string) =>
    (await answer(ROUTES.addPerson, await dashboard.post('/api/v1/people', { name, roles: [role] }))).id;
  const say = (...conditions: unknown[]) =>
    dashboard.receive('girthlog/1/spread-1/rig-a/alarms', {
      origin: 'simulated',
      at: new Date(START_MS).toISOString(),
      conditions,
    });
  const act = (what: string, body: unknown) => dashboard.post(`/api/v1/alarms/${what}`, body);
  const done = async (route: RouteSpec, what: string, body: unknown) =>
    (await answer(route, await act(what, body))) as AlarmPicture;
  const refused = async (what: string, body: unknown) => {
    const { status, code } = await problem(await act(what, body));
    return `${status} ${code}`;
  };
  const now = async () => await answer(ROUTES.alarms, await dashboard.get('/api/v1/alarms'));
  return { ...dashboard, person, say, done, refused, now };
}

describe('alarms over HTTP', () => {
  it('come from the edge, are acknowledged by a person, and leave the deviations of the pass alone', async () => {
    const { author, say, done, now, get } = await watched();
    const deviations = await (await get('/api/v1/deviations')).text();
    say(condition());
    const { alarms, newest } = await now();
    expect(alarms).toMatchObject([{ ...POINT, lifecycle: 'unacked', origin: 'simulated', heard: false }]);
    expect(newest).toBe(alarms[0]!.announcement!.number);
    const after = await done(ROUTES.acknowledgeAlarms, 'acknowledge', { alarms: [alarms[0]!.alarm], author });
    expect(after.alarms).toMatchObject([{ lifecycle: 'acked', acknowledged: { by: author } }]);
    await done(ROUTES.shelveAlarm, 'shelve', { ...POINT, author, reason: 'wire being changed', minutes: 10 });
    expect(await (await get('/api/v1/deviations')).text()).toBe(deviations);
    const { entries } = await answer(ROUTES.alarmHistory, await get('/api/v1/alarms/history?limit=2'));
    expect(entries).toMatchObject([
      { what: 'shelved', by: author, reason: 'wire being changed', ...POINT, about: null },
      { what: 'acknowledged', by: author, about: { work: { joint: 'J-1' } } },
    ]);
  });

  it('history comes in pages, newest first, without a hole', async () => {
    const { say, get } = await watched();
    for (let i = 0; i < 5; i++) say(condition({ work: { joint: `J-${i}`, side: 'A', pass: 'fill 1' } }));
    const numbers: number[] = [];
    let next: string | null = '';
    while (next !== null) {
      const query: string = next === '' ? '' : `&before=${encodeURIComponent(next)}`;
      const page = await answer(ROUTES.alarmHistory, await get(`/api/v1/alarms/history?limit=4${query}`));
      numbers.push(...page.entries.map(({ number }) => number));
      next = page.next;
    }
    expect(numbers).toEqual(Array.from({ length: numbers.length }, (_, i) => numbers.length - i));
    expect(numbers).toHaveLength(14);
  });

  it('HIGH is reset when it is acknowledged and over', async () => {
    const { author, say, done, refused, now } = await watched();
    say(NO_DATA);
    const body = { alarms: [(await now()).alarms[0]!.alarm], author };
    expect(await refused('reset', body)).toBe('409 conditionTrue');
    say();
    expect(await refused('reset', body)).toBe('409 acknowledgeFirst');
    await done(ROUTES.acknowledgeAlarms, 'acknowledge', body);
    expect((await done(ROUTES.resetAlarms, 'reset', body)).alarms).toEqual([]);
    expect(await refused('reset', body)).toBe('409 alarmGone');
  });

  it('asks who, and whether they may', async () => {
    const { author, person, say, done, refused } = await watched();
    say(condition());
    const viewer = await person('V. Example', 'viewer');
    const inspector = await person('I. Example', 'inspector');
    expect(await refused('acknowledge', { alarms: [1], author: 'nobody' })).toBe('422 authorUnknown');
    expect(await refused('acknowledge', { alarms: [1], author: viewer })).toBe('403 roleMissing');
    const service = { ...POINT, reason: 'travel sensor sent away', inService: false };
    expect(await refused('out-of-service', { ...service, author })).toBe('403 roleMissing');
    const out = await done(ROUTES.alarmService, 'out-of-service', { ...service, author: inspector });
    expect(out.alarms).toMatchObject([{ availability: 'outOfService' }]);
    expect(out.away).toMatchObject([{ ...POINT, outOfService: { by: inspector } }]);
    await done(ROUTES.alarmService, 'out-of-service', { ...service, author: inspector, inService: true });
    expect(await refused('out-of-service', { ...service, author: inspector, inService: true })).toBe(
      '409 notOutOfService',
    );
  });

  it.each([
    ['acknowledge', { alarms: [] }],
    ['acknowledge', { alarms: [1], author: '' }],
    ['shelve', { ...POINT, reason: '', minutes: 10 }],
    ['shelve', { ...POINT, reason: 'x', minutes: 0 }],
    ['shelve', { ...POINT, reason: 'x', minutes: 721 }],
    ['shelve', { ...POINT, reason: 'x' }],
    ['shelve', { ...POINT, cause: 'somethingElse', reason: 'x', minutes: 10 }],
    ['out-of-service', { ...POINT, inService: false }],
  ])('%s does not take %j', async (what, parts) => {
    const { author, refused } = await watched();
    expect(await refused(what, { author, ...parts })).toBe('400 bodyInvalid');
  });

  it('unshelving what is not on the shelf changes nothing', async () => {
    const { author, refused } = await watched();
    expect(await refused('unshelve', { ...POINT, author })).toBe('409 notShelved');
  });
});

describe('alarms on the stream', () => {
  it('the whole picture first, then at once whenever it changes, the same for every screen', async () => {
    const { url, author, say, done } = await watched();
    const screens = await Promise.all([
      readEvents(`${url}/api/v1/stream`),
      readEvents(`${url}/api/v1/stream`),
    ]);
    const pictures = (i: number) => screens[i]!.of('alarms').map(({ data }) => data);
    await waitUntil(() => pictures(0).length > 0 && pictures(1).length > 0, 'the first picture');
    expect(pictures(0)[0]).toMatchObject({ alarms: [], newest: 0, budget: { lastHour: 0, perHour: 6 } });
    say(condition());
    await waitUntil(() => pictures(0).at(-1)?.alarms.length === 1, 'the alarm');
    const { alarm } = pictures(0).at(-1)!.alarms[0]!;
    const after = await done(ROUTES.acknowledgeAlarms, 'acknowledge', { alarms: [alarm], author });
    for (const i of [0, 1]) {
      await waitUntil(() => pictures(i).at(-1)?.alarms[0]?.lifecycle === 'acked', 'the acknowledgement');
      expect(pictures(i).at(-1)!.alarms).toEqual(after.alarms);
    }
    // Something told twice is no change.
    const count = pictures(0).length;
    say(condition());
    say(condition(), condition({ key: 'buffering', cause: 'buffering', priority: 'low' }));
    await waitUntil(() => pictures(0).at(-1)?.alarms.length === 2, 'the second alarm');
    expect(pictures(0)).toHaveLength(count + 1);
  });
});
