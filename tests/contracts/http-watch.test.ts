/** How changes along the weld are called, marks on calls, and one pass type over joints, over HTTP. */
import { describe, expect, it } from 'vitest';
import { DEFAULT_DRIFT_SETTINGS } from '#core/drift/drift-settings';
import type { EntryBody } from '#core/journal/entry';
import { WATCH_ROUTES } from '../../dashboard/server/api/watch-routes.ts';
import { answer } from '../support/http-answers.ts';
import { journal } from '../support/http-journal.ts';
import { STREAM, seal, testBody, testPass } from '../support/test-records.ts';

const passId = `${STREAM}:1`;
const mark = (value: 'real' | 'notReal' | 'unknown', number = 1): EntryBody => ({
  kind: 'callMark',
  passId,
  call: { of: 'deviation', number },
  mark: value,
});
const changed = (h: number): EntryBody => ({
  kind: 'watchChanged',
  settings: { ...DEFAULT_DRIFT_SETTINGS, h },
});

describe('settings of what is called', () => {
  it('are as shipped until somebody changes them, with name and reason; the newest counts', async () => {
    const { get, enter, refused, author } = await journal();
    const shipped = await answer(WATCH_ROUTES.watch, await get('/api/v1/watch'));
    expect(shipped).toMatchObject({ settings: DEFAULT_DRIFT_SETTINGS, changed: null });
    expect(await refused(changed(6))).toBe('422 reasonMissing');
    await enter(changed(6), { reason: 'too many calls on the cap' });
    await enter(changed(7), { reason: 'still too many' });
    const now = await answer(WATCH_ROUTES.watch, await get('/api/v1/watch'));
    expect(now.settings.h).toBe(7);
    expect(now.changed).toMatchObject({ author, reason: 'still too many' });
    expect(now.computed.cusum.falseCallsPer100Passes).toBeLessThan(
      shipped.computed.cusum.falseCallsPer100Passes,
    );
    expect(now.computed.cusum.shifts[2]!.weldMm!).toBeGreaterThan(shipped.computed.cusum.shifts[2]!.weldMm!);
  });

  it('that make no sense are refused', async () => {
    const { post } = await journal();
    const tried = await post('/api/v1/watch/trial', { settings: { ...DEFAULT_DRIFT_SETTINGS, k: -1 } });
    expect(tried.status).toBe(400);
  });

  it('a trial says which passes it had to leave out and why', async () => {
    const { post } = await journal();
    const settings = { ...DEFAULT_DRIFT_SETTINGS, h: 8 };
    const tried = await answer(WATCH_ROUTES.watchTrial, await post('/api/v1/watch/trial', { settings }));
    expect(tried).toMatchObject({ settings, passes: [] });
    expect(tried.notes).toEqual(['1 pass left out: its edge did not follow changes along the weld.']);
  });
});

describe('marks on calls', () => {
  it('give the measured rate of false calls with its interval; the newest mark of a call counts', async () => {
    const { get, enter } = await journal();
    const before = await answer(WATCH_ROUTES.watch, await get('/api/v1/watch'));
    expect(before.measured).toMatchObject([
      { origin: 'simulated', passes: 1, calls: 1, unmarked: 1, falseCallsPer100Passes: null, interval: null },
    ]);
    await enter(mark('real'));
    await enter(mark('notReal'));
    const { measured } = await answer(WATCH_ROUTES.watch, await get('/api/v1/watch'));
    expect(measured[0]).toMatchObject({ real: 0, notReal: 1, unmarked: 0, falseCallsPer100Passes: 100 });
    // Exact Poisson interval of one event, 95 %: 0.0253 to 5.572 (Garwood 1936, table; from memory).
    expect(measured[0]?.interval?.[0]).toBeCloseTo(2.53, 1);
    expect(measured[0]?.interval?.[1]).toBeCloseTo(557.2, 0);
    const { calls } = await answer(WATCH_ROUTES.calls, await get('/api/v1/calls'));
    expect(calls).toMatchObject([{ passId, of: 'deviation', number: 1, rule: 'outOfRange' }]);
    expect(calls[0]?.mark).toMatchObject({ mark: 'notReal' });
  });

  it('are refused for a call that the pass does not have', async () => {
    const { refused } = await journal();
    expect(await refused(mark('real', 2))).toBe('422 callUnknown');
    expect(
      await refused({ kind: 'callMark', passId: 'nothing', call: { of: 'drift', number: 1 }, mark: 'real' }),
    ).toBe('422 passUnknown');
  });
});

describe('one pass type over the joints', () => {
  it('shows each rig and side in the order of the days, and how both sides closed', async () => {
    const { receive, settle, get } = await journal();
    const { pass } = testPass(2);
    const side = (index: number, which: 'A' | 'B', runOutLengthMm: number | null) =>
      testPass(index, {
        joint: 'J-0007',
        side: which,
        pass: { ...pass, index, runOutLengthMm, meanTravelMmS: 7.5 },
      });
    // π × 610 mm = 1,916.4 mm around: 950 + 960 is 6.4 mm short.
    const body = testBody({ passes: [side(2, 'A', 950), side(3, 'B', 960)] });
    receive('girthlog/1/spread-1/rig-a/record', seal(JSON.stringify(body), 22, undefined));
    await settle();
    const path = '/api/v1/over-joints?procedureId=example-610&pass=fill%201&origin=simulated';
    const seen = await answer(WATCH_ROUTES.overJoints, await get(path));
    expect(seen.passes.map(({ joint, side: which }) => `${joint} ${which}`)).toEqual([
      'J-0001 A',
      'J-0007 A',
      'J-0007 B',
    ]);
    expect(seen.passes[1]).toMatchObject({ runOutLengthMm: 950, travelSpeed: 7.5 });
    expect(seen.closures).toHaveLength(1);
    expect(seen.closures[0]).toMatchObject({ joint: 'J-0007', rigs: ['rig-a'], finding: null });
    expect(seen.closures[0]?.errorMm).toBeCloseTo(950 + 960 - Math.PI * 610, 6);
    expect(seen.closures[0]?.reason).toContain('no uncertainty of travel');
    const { types } = await answer(WATCH_ROUTES.passTypes, await get('/api/v1/pass-types'));
    expect(types).toMatchObject([{ procedureId: 'example-610', pass: 'fill 1', passes: 3 }]);
  });

  it('a closure of unknown length is unknown, with the reason', async () => {
    const { receive, settle, get } = await journal();
    const { pass } = testPass(2);
    const one = (index: number, which: 'A' | 'B', runOutLengthMm: number | null) =>
      testPass(index, { joint: 'J-0008', side: which, pass: { ...pass, index, runOutLengthMm } });
    const body = testBody({ passes: [one(4, 'A', null), one(5, 'B', 960)] });
    receive('girthlog/1/spread-1/rig-a/record', seal(JSON.stringify(body), 22, undefined));
    await settle();
    const path = '/api/v1/over-joints?procedureId=example-610&pass=fill%201&origin=simulated';
    const { closures } = await answer(WATCH_ROUTES.overJoints, await get(path));
    expect(closures).toMatchObject([
      { errorMm: null, finding: null, reason: 'the run-out length of a side is not known' },
    ]);
  });
});
