/** What follows from entries over HTTP, with no edge and no broker there. */
import { describe, expect, it } from 'vitest';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer, problem } from '../support/http-answers.ts';
import { journal, moved, opened, RIG, status, WORK } from '../support/http-journal.ts';
import { EXAMPLE_PROCEDURE } from '../support/test-records.ts';

describe('what follows from entries', () => {
  it('a joint’s state, known from its first word', async () => {
    const { get, enter } = await journal();
    expect((await problem(await get('/api/v1/joints/J-0777/state'))).code).toBe('jointUnknown');
    await enter(opened('J-0777'));
    const state = await answer(ROUTES.jointState, await get('/api/v1/joints/J-0777/state'));
    expect(state).toMatchObject({ joint: 'J-0777', origin: 'simulated', opened: true, complete: null });
    expect(state.findings.map(({ code }) => code)).toContain('procedureMissing');
    const { joints } = await answer(ROUTES.jointList, await get('/api/v1/joint-list'));
    expect(joints.map(({ joint, passes }) => [joint, passes])).toEqual([
      ['J-0777', 0],
      ['J-0001', 1],
    ]);
    const found = await answer(ROUTES.jointList, await get('/api/v1/joint-list?find=0777'));
    expect(found.joints).toHaveLength(1);
  });

  it('an assignment is taken whatever is missing, and comes with what is', async () => {
    const { get, post, author, enter } = await journal();
    await enter({ kind: 'hold', joint: 'J-0009', on: true }, { reason: 'waiting for a ruling' });
    const work = { ...WORK, joint: 'J-0009' };
    const entry = await answer(
      ROUTES.addAssignment,
      await post('/api/v1/assignments', { ...RIG, author, work }),
    );
    expect(entry.assignment.work).toEqual(work);
    expect(entry.findings.map(({ code }) => code)).toEqual([
      'jointOnHold',
      'procedureNotApproved',
      'passBeforePredecessor',
      'wireLotMissing',
      'gasLotMissing',
      'polarityNotConfirmed',
      'operatorMissing',
      'rigNotReady',
    ]);
    const cleared = await answer(
      ROUTES.addAssignment,
      await post('/api/v1/assignments', { ...RIG, author, work: null }),
    );
    expect(cleared.findings).toEqual([]);
    const proposal = await answer(ROUTES.proposal, await get('/api/v1/proposals/spread-1/rig-a'));
    expect(proposal).toMatchObject({ joint: 'J-0009', side: 'A', pass: 'fill 1' });
  });

  it('a rig is ready once its checks are entered, and a rig is known from its first entry', async () => {
    const { get, enter } = await journal();
    const path = '/api/v1/rigs/spread-1/rig-x/readiness';
    expect((await problem(await get(path))).code).toBe('rigUnknown');
    await enter({ kind: 'carriage', site: 'spread-1', rig: 'rig-x', carriageId: 'bug-1' });
    const one = await answer(ROUTES.rigReadiness, await get(path));
    expect(one).toMatchObject({ ready: false, carriageId: 'bug-1' });
    const { readiness } = await answer(ROUTES.readiness, await get('/api/v1/readiness'));
    expect(readiness).toContainEqual(one);
  });

  it('a procedure is a draft until approved, and withdrawn for good', async () => {
    const { get, enter, refused, post, author } = await journal();
    const reason = 'procedure qualification complete';
    const read = async () => await answer(ROUTES.procedure, await get('/api/v1/procedures/example-610/1'));
    expect(await read()).toMatchObject({ state: 'draft', statusEntry: null });
    const approval = await enter(status('approved'), { reason });
    expect(await read()).toMatchObject({ state: 'approved', statusEntry: { id: approval.id, reason } });
    await answer(
      ROUTES.addProcedure,
      await post('/api/v1/procedures', { author, procedure: { ...EXAMPLE_PROCEDURE, revision: 2 } }),
    );
    const withdrawal = await enter(status('withdrawn'), { reason: 'replaced' });
    expect((await read()).revisions).toEqual([
      { revision: 1, state: 'withdrawn' },
      { revision: 2, state: 'draft' },
    ]);
    expect(await refused(status('approved'), { reason })).toBe('409 procedureWithdrawn');
    await enter(status('approved'), { reason: 'withdrawn by mistake', corrects: withdrawal.id });
    expect((await read()).state).toBe('approved');
    const { states } = await answer(ROUTES.procedureStates, await get('/api/v1/procedure-states'));
    expect(states.map(one => [one.revision, one.state])).toEqual([
      [1, 'approved'],
      [2, 'draft'],
    ]);
    expect((await problem(await get('/api/v1/procedures/example-610/9'))).code).toBe('procedureUnknown');
  });

  it('which joints used a revision: by record, assignment, particulars and move', async () => {
    const { get, post, author, enter } = await journal();
    await post('/api/v1/assignments', { ...RIG, author, work: { ...WORK, joint: 'J-0003' } });
    await enter({ kind: 'jointOpened', joint: 'J-0004', procedureId: 'example-610', procedureRevision: 1 });
    await enter(moved(), { reason: 'typed wrong' });
    const { joints } = await answer(
      ROUTES.procedureJoints,
      await get('/api/v1/procedures/example-610/1/joints'),
    );
    expect(Object.fromEntries(joints.map(({ joint, by }) => [joint, by]))).toEqual({
      'J-0001': ['record'],
      'J-0002': ['move'],
      'J-0003': ['assignment'],
      'J-0004': ['particulars'],
    });
  });

  it('an impossible procedure is refused naming pass and field', async () => {
    const { post, author } = await journal();
    const procedure = structuredClone({ ...EXAMPLE_PROCEDURE, revision: 7 }) as {
      passes: { limits: object[] }[];
    };
    procedure.passes[0]!.limits.push({ quantity: 'travelSpeed', unit: 'mm/s', basis: 'pass', max: 90 });
    expect(await problem(await post('/api/v1/procedures', { author, procedure }))).toMatchObject({
      status: 422,
      code: 'procedureImpossible',
      detail: 'Pass "root", travelSpeed, max: 90 mm/s is outside what a rig can do, 0.5 to 50 mm/s.',
    });
  });

  it('a procedure goes out as JSON and its passes as CSV, and the table comes back the same', async () => {
    const { get, post } = await journal();
    const json = await get('/api/v1/procedures/example-610/1/procedure.json');
    expect(await json.json()).toEqual(EXAMPLE_PROCEDURE);
    const file = await get('/api/v1/procedures/example-610/1/pass-table.csv');
    expect(file.headers.get('content-type')).toContain('text/csv');
    const csv = await file.text();
    const read = await answer(ROUTES.readPassTable, await post('/api/v1/pass-table', { csv }));
    expect(read.passes).toEqual(EXAMPLE_PROCEDURE.passes);
    const semicolons = csv.replaceAll(',', ';').replace(';150;', ';150,5;');
    const other = await answer(ROUTES.readPassTable, await post('/api/v1/pass-table', { csv: semicolons }));
    expect(other.passes[0]?.limits[0]?.min).toBe(150.5);
    const bad = await problem(await post('/api/v1/pass-table', { csv: 'pass,type\n"root' }));
    expect(bad).toMatchObject({ status: 422, code: 'passTableInvalid' });
    expect(bad.detail).toMatch(/^Line \d/);
    expect((await get('/api/v1/procedures/example-610/x/pass-table.csv')).status).toBe(400);
  });
});
