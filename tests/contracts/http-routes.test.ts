/** Every route answers in the shape its table says, and refuses what it should with a stable code. */
import { request } from 'node:http';
import { describe, expect, it } from 'vitest';
import type { z } from 'zod';
import { type Problem, problemSchema } from '#core/messages/api';
import { readySchema } from '#core/messages/api-lists';
import type { RouteSpec } from '../../dashboard/server/api/route.ts';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { startTestDashboard, type TestDashboard } from '../support/test-dashboard.ts';
import {
  EXAMPLE_PROCEDURE,
  START_MS,
  STREAM,
  seal,
  testBody,
  testChain,
  testDeviation,
  testEvent,
  testPass,
} from '../support/test-records.ts';

const RIG_TOPIC = 'girthlog/1/spread-1/rig-a/';
const startUs = START_MS * 1000;

async function answer<S extends RouteSpec>(spec: S, response: Response): Promise<z.infer<S['response']>> {
  const text = await response.text();
  expect(response.status, text).toBe(spec.status);
  expect(response.headers.get('cache-control')).toBe('no-store');
  return spec.response.parse(JSON.parse(text)) as z.infer<S['response']>;
}

async function problem(response: Response): Promise<Problem> {
  expect(response.headers.get('content-type')).toContain('application/problem+json');
  const body = problemSchema.parse(await response.json());
  expect(body.status).toBe(response.status);
  expect(body.detail).not.toMatch(/\n|node_modules|at .*\.ts/);
  return body;
}

/** Twenty seconds of samples, one pass with a deviation, three events, a procedure, a person. */
async function filled(): Promise<TestDashboard & { author: string }> {
  const dashboard = await startTestDashboard();
  const records = testChain(20);
  const last = records.at(-1)!;
  const contents = testBody({
    events: [testEvent(1), testEvent(2), testEvent(3)],
    passes: [testPass(1, { deviations: [testDeviation(61)] })],
  });
  for (const record of [...records, seal(JSON.stringify(contents), 21, last.hash)]) {
    dashboard.receive(`${RIG_TOPIC}record`, record);
  }
  await dashboard.settle();
  const person = await answer(
    ROUTES.addPerson,
    await dashboard.post('/api/v1/people', { name: 'A. Example', roles: ['weldSetter'] }),
  );
  const added = await dashboard.post('/api/v1/procedures', {
    author: person.id,
    procedure: EXAMPLE_PROCEDURE,
  });
  await answer(ROUTES.addProcedure, added);
  return { ...dashboard, author: person.id };
}

const WORK = {
  joint: 'J-0001',
  side: 'A',
  pass: 'fill 1',
  procedureId: 'example-610',
  procedureRevision: 1,
  outsideDiameterMm: 610,
  startDegrees: 0,
};

describe('answers', () => {
  it('of every reading route fit their schemas', async () => {
    const { get } = await filled();
    const passId = `${STREAM}:1`;
    const paths: Record<keyof typeof ROUTES, string | null> = {
      rigs: '/api/v1/rigs',
      samples: '/api/v1/rigs/spread-1/rig-a/samples',
      passes: '/api/v1/passes?limit=5',
      pass: `/api/v1/passes/${passId}`,
      passSamples: `/api/v1/passes/${passId}/samples?points=10`,
      joints: '/api/v1/joints',
      joint: '/api/v1/joints/J-0001',
      jointRing: '/api/v1/joints/J-0001/ring',
      deviations: '/api/v1/deviations?joint=J-0001',
      events: '/api/v1/events?site=spread-1&rig=rig-a',
      procedures: '/api/v1/procedures',
      assignments: '/api/v1/assignments',
      people: '/api/v1/people',
      system: '/api/v1/system',
      addProcedure: null,
      addAssignment: null,
      addPerson: null,
    };
    for (const [key, path] of Object.entries(paths)) {
      if (path !== null) await answer(ROUTES[key as keyof typeof ROUTES], await get(path));
    }
  });

  it('of samples keep every extreme and mark what was not recorded', async () => {
    const { get } = await filled();
    const path = `/api/v1/rigs/spread-1/rig-a/samples?from=${startUs - 2e6}&to=${startUs + 10e6}&points=12`;
    const samples = await answer(ROUTES.samples, await get(`${path}&channels=weldingCurrent`));
    expect(samples.series).toHaveLength(1);
    const [current] = samples.series;
    expect(current).toMatchObject({ channel: 'weldingCurrent', unit: 'A' });
    expect(Math.min(...current!.min)).toBe(200);
    expect(Math.max(...current!.max)).toBe(206);
    expect(current!.tUs[0]).toBe(startUs);
    expect(samples.gaps).toEqual([{ fromUs: startUs - 2e6, toUs: startUs }]);
    expect(samples).toMatchObject({ stream: STREAM, utcMinusRecordMs: 0 });
    const from = new Date(START_MS - 2000).toISOString();
    const to = new Date(START_MS + 10_000).toISOString();
    const inUtc = await get(
      `/api/v1/rigs/spread-1/rig-a/samples?from=${from}&to=${to}&points=12&channels=weldingCurrent`,
    );
    expect(await answer(ROUTES.samples, inUtc)).toEqual(samples);
  });

  it('of the ring say where each side of each layer has weld, in the order of the procedure', async () => {
    const { get } = await filled();
    expect(await answer(ROUTES.jointRing, await get('/api/v1/joints/J-0001/ring'))).toEqual({
      joint: 'J-0001',
      procedureId: 'example-610',
      procedureRevision: 1,
      outsideDiameterMm: 610,
      layers: [
        { pass: 'root', sides: [] },
        {
          pass: 'fill 1',
          sides: [
            {
              side: 'A',
              spans: [{ fromMm: 0, toMm: 375 }],
              outOfRange: [{ fromMm: 100, toMm: 130, quantity: 'weldingCurrent' }],
              uncertaintyMm: 5,
            },
          ],
        },
      ],
    });
  });

  it('say of one joint number which origin they show, and never mix two', async () => {
    const { get, receive, settle } = await filled();
    const realPass = testPass(1, { origin: 'real', rig: 'rig-b', passId: 'real:1' });
    const body = testBody({ origin: 'real', rig: 'rig-b', passes: [realPass] });
    receive('girthlog/1/spread-1/rig-b/record', seal(JSON.stringify(body), 1, undefined, undefined, 'real'));
    await settle();
    const list = await answer(ROUTES.joints, await get('/api/v1/joints'));
    expect(list).toMatchObject({
      origin: 'real',
      origins: ['real', 'simulated'],
      joints: [{ origin: 'real', passes: 1 }],
    });
    const practice = await answer(ROUTES.joint, await get('/api/v1/joints/J-0001?origin=simulated'));
    expect(practice.passes.map(pass => pass.origin)).toEqual(['simulated']);
    const passes = await answer(ROUTES.passes, await get('/api/v1/passes?joint=J-0001'));
    expect(passes.passes.map(pass => pass.passId)).toEqual(['real:1']);
  });
});

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

describe('refusals', () => {
  it('of queries name what is wrong', async () => {
    const { get } = await filled();
    const cases: readonly (readonly [string, number, string])[] = [
      ['/api/v1/passes?limit=1e9', 400, 'queryInvalid'],
      ['/api/v1/passes?limit=0', 400, 'queryInvalid'],
      ['/api/v1/passes?limit=1&limit=2', 400, 'queryInvalid'],
      ['/api/v1/passes?limit[]=1', 400, 'queryInvalid'],
      ['/api/v1/passes?constructor=1', 400, 'queryInvalid'],
      ['/api/v1/passes?before=xyz', 400, 'queryInvalid'],
      ['/api/v1/passes?before=W10', 400, 'queryInvalid'],
      ['/api/v1/passes/nothing', 404, 'passUnknown'],
      ['/api/v1/joints/J-9999', 404, 'jointUnknown'],
      ['/api/v1/joints/%00', 404, 'jointUnknown'],
      ['/api/v1/joints/%E0%A4%A', 400, 'requestInvalid'],
      ['/api/v1/rigs/spread-1/rig-z/samples', 404, 'rigUnknown'],
      ['/api/v1/rigs/..%2F..%2Fetc/passwd/samples', 400, 'pathInvalid'],
      ['/api/v1/rigs/spread-1/rig-a/samples?points=0', 400, 'queryInvalid'],
      ['/api/v1/rigs/spread-1/rig-a/samples?points=999999', 400, 'queryInvalid'],
      ['/api/v1/rigs/spread-1/rig-a/samples?channels=amps', 400, 'queryInvalid'],
      ['/api/v1/rigs/spread-1/rig-a/samples?from=10&to=10', 400, 'rangeInvalid'],
      ['/api/v1/rigs/spread-1/rig-a/samples?from=10&to=2026-01-01T00:00:00Z', 400, 'rangeInvalid'],
      ['/api/v1/rigs/spread-1/rig-a/samples?from=0&to=9007199254740991', 400, 'rangeTooLong'],
      ['/api/v1/rigs/spread-1/rig-a/samples?from=99999999999999999', 400, 'queryInvalid'],
      ['/api/v1/rigs/spread-1/rig-a/samples?from=9999-12-31T23:59:59Z', 400, 'queryInvalid'],
      ['/api/v1/rigs/spread-1/rig-a/samples?from=2026-01-01T00:00:00%2B25:00', 400, 'queryInvalid'],
      ['/api/v1/events?from=yesterday', 400, 'queryInvalid'],
      ['/api/v1/nothing', 404, 'routeUnknown'],
      ['/api', 404, 'routeUnknown'],
    ];
    for (const [path, status, code] of cases) {
      expect(await problem(await get(path)), path).toMatchObject({ status, code });
    }
  });

  it('of bodies name what is wrong and store nothing', async () => {
    const { post, get } = await filled();
    const person = { name: 'B. Example', roles: ['viewer'] };
    const refused = async (body: unknown, headers = {}) =>
      problem(await post('/api/v1/people', body, headers));
    expect(await refused('{')).toMatchObject({ status: 400, code: 'bodyNotJson' });
    expect(await refused([person])).toMatchObject({ status: 400, code: 'bodyInvalid' });
    expect(await refused({ ...person, id: 'p-1' })).toMatchObject({ status: 400, code: 'bodyInvalid' });
    expect(await refused({ ...person, roles: ['owner'] })).toMatchObject({
      status: 400,
      code: 'bodyInvalid',
    });
    expect(await refused({ ...person, name: 'x'.repeat(81) })).toMatchObject({
      status: 400,
      code: 'bodyInvalid',
    });
    expect(await refused({ ...person, name: 'x'.repeat(70_000) })).toMatchObject({
      status: 413,
      code: 'bodyTooLarge',
    });
    expect(await refused(person, { 'content-type': 'text/plain' })).toMatchObject({
      status: 415,
      code: 'bodyNotJson',
    });
    expect(await refused(person, { 'content-encoding': 'gzip' })).toMatchObject({
      status: 415,
      code: 'bodyEncoding',
    });
    expect((await answer(ROUTES.people, await get('/api/v1/people'))).people).toHaveLength(1);
  });

  it('keep other web pages out', async () => {
    const { post, get, url } = await filled();
    const person = { name: 'B. Example', roles: ['viewer'] };
    const foreign = { origin: 'http://elsewhere.example' };
    expect(await problem(await post('/api/v1/people', person, foreign))).toMatchObject({
      status: 403,
      code: 'originForeign',
    });
    expect(await problem(await get('/api/v1/stream', foreign))).toMatchObject({
      status: 403,
      code: 'originForeign',
    });
    expect(await problem(await get('/api/v1/rigs', { origin: 'null' }))).toMatchObject({
      code: 'originForeign',
    });
    expect(await problem(await post('/api/v1/people', person, { 'x-girthlog': '' }))).toMatchObject({
      code: 'headerMissing',
    });
    expect((await post('/api/v1/people', person, { origin: url })).status).toBe(201);
  });

  it('keep out names that resolve here but are not ours', async () => {
    const { url } = await startTestDashboard();
    const ask = (host: string) =>
      new Promise<number | undefined>((resolve, reject) => {
        request(`${url}/api/v1/rigs`, { headers: { host } }, response => {
          response.resume();
          resolve(response.statusCode);
        })
          .on('error', reject)
          .end();
      });
    expect(await ask('rebound.example:8080')).toBe(421);
    expect(await ask('localhost:8080')).toBe(200);
    expect(await ask('[::1]:8080')).toBe(200);
  });
});

describe('the rest of the server', () => {
  it('sends the policy of a page without foreign parts', async () => {
    const { get } = await startTestDashboard();
    const { headers } = await get('/');
    expect(headers.get('content-security-policy')).toBe(
      "default-src 'self';object-src 'none';base-uri 'none';frame-ancestors 'none'",
    );
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    expect(headers.get('referrer-policy')).toBe('no-referrer');
    expect(headers.get('x-powered-by')).toBeNull();
    expect(headers.get('strict-transport-security')).toBeNull();
  });

  it('gives the page for every view, files as they are, and nothing from outside its directory', async () => {
    const { get, url } = await startTestDashboard();
    const html = { accept: 'text/html' };
    for (const path of ['/', '/joints/J-0001', '/anything/else']) {
      expect(await (await get(path, html)).text(), path).toContain('<title>page</title>');
    }
    expect((await get('/assets/a.js')).headers.get('content-type')).toContain('javascript');
    expect((await get('/assets/b.js', html)).status).toBe(404);
    for (const path of [
      '/..%2fdata%2fdashboard.sqlite3',
      '/%2e%2e/data/dashboard.sqlite3',
      '/assets/..%2f..%2fdata',
    ]) {
      const text = await (await fetch(url + path)).text();
      expect(text, path).not.toContain('SQLite');
    }
  });

  it('is ready without a broker, and says what that means', async () => {
    const { get } = await startTestDashboard();
    expect((await get('/livez')).status).toBe(200);
    const ready = readySchema.parse(await (await get('/readyz')).json());
    expect(ready).toEqual({ ready: true, warnings: ['No connection to the broker: nothing new arrives.'] });
  });

  it('says that it is not ready when its store cannot be read', async () => {
    const { get, store } = await startTestDashboard();
    store.close();
    const response = await get('/readyz');
    expect(response.status).toBe(503);
    const failed = await problem(await get('/api/v1/procedures'));
    expect(failed).toMatchObject({ status: 500, code: 'internal' });
    expect(failed.detail).toMatch(/the log has it under id-\d+/);
  });
});
