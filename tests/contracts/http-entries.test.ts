import { describe, expect, it } from 'vitest';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer, filled, problem } from '../support/http-answers.ts';
import { EXAMPLE_PROCEDURE } from '../support/test-records.ts';

const WORK = {
  joint: 'J-0001',
  side: 'A',
  pass: 'fill 1',
  procedureId: 'example-610',
  procedureRevision: 1,
  outsideDiameterMm: 610,
  startDegrees: 0,
};

describe('entries', () => {
  it('an assignment is stored and shown while the rig and the broker are away', async () => {
    const { get, post, author } = await filled();
    const body = { site: 'spread-1', rig: 'rig-new', author, work: WORK };
    const entry = await answer(ROUTES.addAssignment, await post('/api/v1/assignments', body));
    expect(entry.assignment).toMatchObject({ author, work: WORK });
    const { rigs } = await answer(ROUTES.rigs, await get('/api/v1/rigs'));
    expect(rigs.map(rig => [rig.rig, rig.place])).toEqual([
      ['rig-a', 0],
      ['rig-new', 1],
    ]);
    expect(rigs[1]?.assignment).toEqual(entry.assignment);
    await answer(ROUTES.addAssignment, await post('/api/v1/assignments', { ...body, work: null }));
    const { assignments } = await answer(ROUTES.assignments, await get('/api/v1/assignments?rig=rig-new'));
    expect(assignments.map(one => one.assignment.work)).toEqual([null, WORK]);
  });

  it('an assigned joint has its ring before its first pass', async () => {
    const { get, post, author } = await filled();
    expect(await problem(await get('/api/v1/joints/J-0002/ring'))).toMatchObject({
      status: 404,
      code: 'jointUnknown',
    });
    const work = { ...WORK, joint: 'J-0002', outsideDiameterMm: 1067 };
    await post('/api/v1/assignments', { site: 'spread-1', rig: 'rig-a', author, work });
    const ring = await answer(ROUTES.jointRing, await get('/api/v1/joints/J-0002/ring'));
    expect(ring).toMatchObject({
      outsideDiameterMm: 1067,
      layers: [
        { pass: 'root', sides: [] },
        { pass: 'fill 1', sides: [] },
      ],
    });
    expect((await get('/api/v1/joints/J-0002/ring?origin=real')).status).toBe(404);
  });

  it('an assignment names what is there, or is refused with a sentence', async () => {
    const { post, author } = await filled();
    const body = { site: 'spread-1', rig: 'rig-a', author, work: WORK };
    const code = async (changed: object) =>
      (await problem(await post('/api/v1/assignments', { ...body, ...changed }))).code;
    expect(await code({ author: 'nobody' })).toBe('authorUnknown');
    expect(await code({ work: { ...WORK, procedureRevision: 9 } })).toBe('procedureUnknown');
    expect(await code({ work: { ...WORK, pass: 'fill 9' } })).toBe('passUnknown');
    expect(await code({ site: 'Spread 1' })).toBe('bodyInvalid');
    for (let i = 0; i < 4; i++) await post('/api/v1/assignments', { ...body, rig: `rig-${i}` });
    expect(await code({ rig: 'rig-too-many' })).toBe('rigLimit');
  });

  it('a procedure revision never changes; sent twice it is the same entry', async () => {
    const { post, author, get } = await filled();
    const again = await answer(
      ROUTES.addProcedure,
      await post('/api/v1/procedures', { author, procedure: EXAMPLE_PROCEDURE }),
    );
    const { procedures } = await answer(ROUTES.procedures, await get('/api/v1/procedures'));
    expect(procedures).toEqual([again]);
    const changed = { ...EXAMPLE_PROCEDURE, title: 'Changed' };
    const refused = await problem(await post('/api/v1/procedures', { author, procedure: changed }));
    expect(refused).toMatchObject({ status: 409, code: 'procedureRevisionTaken' });
    const wrong = structuredClone(EXAMPLE_PROCEDURE) as { passes: { limits: { min: number }[] }[] };
    wrong.passes[0]!.limits[0]!.min = 999;
    const invalid = await problem(await post('/api/v1/procedures', { author, procedure: wrong }));
    expect(invalid.detail).toContain('min 999 is not below max 210');
  });
});
