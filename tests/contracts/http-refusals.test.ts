/** What the server refuses, with which stable code, and what it lets nobody have. */
import { request } from 'node:http';
import { describe, expect, it } from 'vitest';
import { readySchema } from '#core/messages/api-lists';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer, filled, problem } from '../support/http-answers.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';

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
      "default-src 'self';object-src 'none';base-uri 'none';frame-ancestors 'none';form-action 'self'",
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
    // The front door also to a command line that asks for nothing in particular; other addresses are then unknown.
    expect(await (await get('/')).text()).toContain('<title>page</title>');
    expect((await get('/joints/J-0001')).status).toBe(404);
    expect((await get('/assets/a.js')).headers.get('content-type')).toContain('javascript');
    expect((await get('/assets/b.js', html)).status).toBe(404);
    for (const path of [
      '/..%2fdata%2fdashboard.sqlite3',
      '/%2e%2e/data/dashboard.sqlite3',
      '/assets/..%2f..%2f..%2fdata',
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
