/** Passes moved after they were recorded: the record stays as it came, verdicts are computed again by the live engine and both are kept. */
import { describe, expect, it } from 'vitest';
import { DEFAULT_DRIFT_SETTINGS } from '#core/drift/drift-settings';
import type { EntryBody } from '#core/journal/entry';
import type { PassDrift } from '#core/messages/drift';
import type { PassMessage } from '#core/messages/pass';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import { procedureSchema } from '#core/procedure/procedure';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer } from '../support/http-answers.ts';
import { journal, RIG } from '../support/http-journal.ts';
import { START_MS, STREAM, seal, sha256, testBody, testChunk, testPass } from '../support/test-records.ts';

const S = 1e6;
const FROM_US = (START_MS + 100_000) * 1000;

const band = (min: number, max: number) => ({
  quantity: 'weldingCurrent',
  unit: 'A',
  basis: 'pass',
  min,
  max,
});
/** Root allows 150–210 A, fill 220–260 A. */
const WPS = procedureSchema.parse({
  schema: 'girthlog.procedure/1',
  id: 'two-passes',
  revision: 1,
  title: 'For tests',
  pipe: { outsideDiameterMm: 610, wallThicknessMm: 15.9 },
  passes: [
    { name: 'root', type: 'root', limits: [band(150, 210)] },
    { name: 'fill', type: 'fill', limits: [band(220, 260)] },
  ],
});
const WORK = { side: 'A' as const, procedureId: WPS.id, procedureRevision: 1 };

/** Forty seconds of 236 A after those of the fixtures, with one closed pass recorded over 30 s of them. */
async function withPass(
  parts: Partial<PassMessage> = {},
  procedurePass: string | null = 'root',
  drift?: PassDrift,
) {
  const dashboard = await journal();
  await answer(
    ROUTES.addProcedure,
    await dashboard.post('/api/v1/procedures', { author: dashboard.author, procedure: WPS }),
  );
  const made = testPass(7, {
    passId: `${STREAM}:7`,
    joint: 'J-0001',
    procedureId: WPS.id,
    startUs: FROM_US + 2 * S,
    endUs: FROM_US + 32 * S,
    startUtc: new Date(START_MS + 102_000).toISOString(),
    endUtc: new Date(START_MS + 132_000).toISOString(),
    ...parts,
  });
  const pass = { ...made, pass: { ...made.pass, procedurePass, verdicts: [], ...(drift ? { drift } : {}) } };
  const stream = '00000000000000000000000000000007';
  const own = { ...pass, stream, passId: `${stream}:7` };
  let prev = '0'.repeat(64);
  for (let seq = 1; seq <= 40; seq++) {
    const chunk = testChunk(FROM_US + (seq - 1) * S, 100, 100, () => 236);
    const body = JSON.stringify(testBody({ chunk, passes: seq === 40 ? [own] : [] }));
    const record = seal(body, seq, prev, stream);
    dashboard.receive('girthlog/1/spread-1/rig-a/record', record);
    prev = record.hash;
  }
  await dashboard.settle();
  const moveTo = (joint: string, to: string, side: 'A' | 'B' = 'A'): EntryBody => {
    return { kind: 'passMoved', passId: own.passId, joint, pass: to, ...WORK, side };
  };
  const read = async () =>
    await answer(ROUTES.passJournal, await dashboard.get(`/api/v1/passes/${own.passId}/journal`));
  const state = async (joint: string) =>
    await answer(ROUTES.jointState, await dashboard.get(`/api/v1/joints/${joint}/state`));
  return { ...dashboard, own, moveTo, read, state };
}

describe('a moved pass', () => {
  it('is judged again over its stored samples by the engine that runs live; the recorded verdicts stay', async () => {
    const { enter, moveTo, read, own, store } = await withPass();
    const sealed = JSON.stringify(store.pass(own.passId));
    const before = await read();
    expect(before.judgements.map(({ basis }) => basis)).toEqual(['recorded']);
    const toRoot = await enter(moveTo('J-0001', 'root'), { reason: 'to see it judged as it was' });
    const toFill = await enter(moveTo('J-0001', 'fill'), { reason: 'wrong pass selected' });
    const { judgements, work, moves, pass } = await read();
    expect(judgements.map(({ basis, entryId, pass: name }) => [basis, entryId, name])).toEqual([
      ['recorded', null, 'root'],
      ['moved', toRoot.id, 'root'],
      ['moved', toFill.id, 'fill'],
    ]);
    const [, root, fill] = judgements;
    // 236 A throughout: above 210 A, within 220 to 260 A.
    expect(root?.verdicts).toMatchObject([
      { quantity: 'weldingCurrent', value: expect.closeTo(236, 6), state: 'out' },
    ]);
    expect(fill?.verdicts).toMatchObject([
      { quantity: 'weldingCurrent', value: expect.closeTo(236, 6), state: 'in' },
    ]);
    expect(fill).toMatchObject({
      software: 'test',
      notes: ['Positions are counted from 12 o’clock: the record does not say where the pass began.'],
    });
    expect(work).toEqual({ joint: 'J-0001', side: 'A', pass: 'fill' });
    expect(moves.map(one => one.reason)).toEqual(['to see it judged as it was', 'wrong pass selected']);
    expect(JSON.stringify(store.pass(own.passId))).toBe(sealed);
    expect(sha256(JSON.stringify(pass))).toBe(sha256(sealed));
  });

  it('gives the verdicts of an engine run by hand over the same samples', async () => {
    const { enter, moveTo, read } = await withPass();
    await enter(moveTo('J-0001', 'fill'), { reason: 'wrong pass selected' });
    const engine = createPassEngine({ ...DEFAULT_ENGINE_SETTINGS, samplePeriodS: 0.01 });
    engine.assign({
      id: 'by hand',
      joint: 'J-0001',
      pass: 'fill',
      outsideDiameterMm: 610,
      startDegrees: 0,
      procedure: WPS,
      ...WORK,
    });
    engine.push(testChunk(FROM_US + 2 * S, 3001, 100, () => 236));
    engine.finish();
    const closed = engine.drain().findLast(effect => effect.kind === 'pass');
    const { judgements } = await read();
    expect(judgements[1]?.verdicts).toEqual(closed?.kind === 'pass' && closed.pass.verdicts);
  });

  it('is held against the settings and baselines of its record; moved to another pass, against the procedure', async () => {
    const baseline = {
      source: 'rig' as const,
      passes: 10,
      windows: 200,
      clockZone: null,
      channels: ['weldingCurrent' as const],
      mean: [180],
      standardDeviation: [2],
      windowDeviation: [1.5],
      passDeviation: [1],
      correlation: [0.2],
      covariance: [4],
    };
    const drift: PassDrift = {
      settings: { ...DEFAULT_DRIFT_SETTINGS, k: 2.25 },
      baselines: [baseline],
      windows: [],
      passEndMm: 958,
      calls: [],
      callsCut: 0,
      notJudged: [],
      teaches: { good: true, why: null },
    };
    const { enter, moveTo, read, own } = await withPass({}, 'root', drift);
    await enter(moveTo('J-0001', 'root', own.side ?? 'A'), { reason: 'to see it judged as it was' });
    await enter(moveTo('J-0001', 'fill', own.side ?? 'A'), { reason: 'wrong pass selected' });
    const [, root, fill] = (await read()).judgements;
    expect(root?.drift).toMatchObject({ settings: drift.settings, baselines: [baseline], passEndMm: 958 });
    expect(fill?.drift).toMatchObject({ settings: drift.settings, baselines: [{ source: 'procedure' }] });
  });

  it('is shown on both joint pages with the entry, and counted on one', async () => {
    const { enter, moveTo, state, get, own } = await withPass();
    const entry = await enter(moveTo('J-0002', 'fill', 'B'), { reason: 'joint number typed wrong' });
    const from = await state('J-0001');
    expect(from.movedOut).toMatchObject([
      {
        passId: own.passId,
        entryId: entry.id,
        reason: 'joint number typed wrong',
        from: { joint: 'J-0001', side: 'A', pass: 'root' },
        to: { joint: 'J-0002', side: 'B', pass: 'fill' },
      },
    ]);
    expect(from.passes.flatMap(({ passIds }) => passIds)).not.toContain(own.passId);
    expect(from.entries.map(({ id }) => id)).toContain(entry.id);
    const to = await state('J-0002');
    const standing = to.passes.find(one => one.pass === 'fill' && one.side === 'B');
    expect(standing).toMatchObject({
      state: 'closed',
      passIds: [own.passId],
      movedIn: [{ entryId: entry.id }],
    });
    const { joints } = await answer(ROUTES.jointList, await get('/api/v1/joint-list'));
    expect(Object.fromEntries(joints.map(({ joint, passes }) => [joint, passes]))).toEqual({
      'J-0001': 1,
      'J-0002': 1,
    });
  });

  it('recorded without any work: listed until it is assigned afterwards, with reason and author', async () => {
    const nothing = { joint: null, side: null, procedureId: null, procedureRevision: null };
    const { enter, moveTo, state, get, own, author } = await withPass(nothing, null);
    const list = async () =>
      (await answer(ROUTES.unassignedPasses, await get('/api/v1/unassigned-passes'))).passes;
    const readiness = async () =>
      (await answer(ROUTES.rigReadiness, await get('/api/v1/rigs/spread-1/rig-a/readiness'))).findings;
    expect((await list()).map(({ passId }) => passId)).toEqual([own.passId]);
    expect((await readiness()).map(({ code }) => code)).toContain('passWithoutJoint');
    await enter(moveTo('J-0005', 'fill'), { reason: 'assignment forgotten' });
    expect(await list()).toEqual([]);
    expect((await readiness()).map(({ code }) => code)).not.toContain('passWithoutJoint');
    const to = await state('J-0005');
    expect(to.passes.find(one => one.pass === 'fill' && one.side === 'A')?.movedIn[0]).toMatchObject({
      author,
      reason: 'assignment forgotten',
      from: { joint: null, side: null, pass: null },
    });
  });

  it('whose samples are not here says so instead of a verdict, and no such answer is kept', async () => {
    const away = { startUs: FROM_US + 3000 * S, endUs: FROM_US + 3030 * S };
    const { enter, moveTo, read, store } = await withPass(away);
    const entry = await enter(moveTo('J-0001', 'fill'), { reason: 'wrong pass selected' });
    const { judgements } = await read();
    expect(judgements[1]).toMatchObject({
      verdicts: [],
      notes: ['No samples of the pass are stored here: it cannot be judged again.'],
    });
    expect(store.journal.judgement(entry.id)).toBeNull();
  });

  it('still being welded, or of another origin than the joint, is refused', async () => {
    const open = await withPass({ state: 'open' });
    expect(await open.refused(open.moveTo('J-0001', 'fill'), { reason: 'too early' })).toBe('409 passOpen');
    const real = await withPass();
    const other = '00000000000000000000000000000008';
    const pass = testPass(1, {
      origin: 'real',
      stream: other,
      passId: `${other}:1`,
      rig: 'rig-r',
      joint: 'J-0100',
    });
    const body = JSON.stringify(testBody({ origin: 'real', rig: 'rig-r', passes: [pass] }));
    real.receive('girthlog/1/spread-1/rig-r/record', seal(body, 1, '0'.repeat(64), other, 'real'));
    await real.settle();
    expect(await real.refused(real.moveTo('J-0100', 'fill'), { reason: 'typed wrong' })).toBe(
      '409 originMixed',
    );
  });
});

describe('the journal of a pass', () => {
  it('carries whether the rig was ready when it began, by what had been entered until then', async () => {
    const { read, enter } = await withPass();
    const before = await read();
    expect(before.readiness.ready).toBe(false);
    expect(before.readiness.findings.map(({ code }) => code)).toContain('checkMissing');
    await enter({
      kind: 'verification',
      ...RIG,
      validUntil: null,
      outcome: { check: 'clock', offsetMs: 3, limitMs: 200, result: 'pass', state: 'asFound' },
    });
    expect((await read()).readiness).toEqual(before.readiness);
  });

  it('shows corrected values beside the recorded ones from the stated moment on', async () => {
    const { read, enter } = await withPass();
    const factor = (from: string): EntryBody => ({
      kind: 'correction',
      ...RIG,
      channel: 'travelSpeed',
      factor: 0.98,
      previous: 1,
      from,
    });
    await enter(factor(new Date(START_MS + 500_000).toISOString()), { reason: 'by the timed run' });
    expect(await read()).toMatchObject({
      corrections: [],
      corrected: [],
      pass: { pass: { meanTravelMmS: 7.5 } },
    });
    await enter(factor(new Date(START_MS).toISOString()), { reason: 'by the timed run' });
    const shown = await read();
    expect(shown.corrected[0]).toEqual({
      field: 'meanTravelMmS',
      recorded: 7.5,
      corrected: expect.closeTo(7.35, 12),
    });
    expect(shown.pass.pass.meanTravelMmS).toBe(7.5);
  });
});
