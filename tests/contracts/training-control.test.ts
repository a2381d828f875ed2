/** The control of lessons over HTTP: token, bodies, and every step in and out of its place. */
import { request } from 'node:http';
import { describe, expect, it } from 'vitest';
import { CONTROL_PROBLEMS, controlStateSchema, lessonListSchema } from '#core/training/control';
import { CONTROL_AUTH, CONTROL_TOKEN, JSON_TYPE, openOf, startControl } from '../support/lesson-control.ts';

describe('the token', () => {
  it('is asked of every request, before anything else is said', async () => {
    const { ask, does } = await startControl();
    const wrong = [
      {},
      { authorization: 'Bearer ' },
      { authorization: `Bearer ${CONTROL_TOKEN}x` },
      { authorization: `Basic ${CONTROL_TOKEN}` },
      { authorization: CONTROL_TOKEN },
      { authorization: `Bearer ${CONTROL_TOKEN.slice(0, -1)}` },
    ];
    for (const headers of wrong as Record<string, string>[]) {
      for (const [method, path] of [
        ['GET', '/state'],
        ['GET', '/truth'],
        ['GET', '/lessons'],
        ['POST', '/open'],
        ['GET', '/nothing'],
      ] as const) {
        const { status, body, headers: answered } = await ask(method, path, undefined, headers);
        expect([status, body.code], path).toEqual([401, 'tokenWrong']);
        expect(answered.get('www-authenticate')).toBe('Bearer');
        expect(answered.get('content-type')).toBe('application/problem+json');
      }
    }
    expect((await does('/open', openOf('gas-lost'))).state).toBe('ready');
  });
});

describe('requests', () => {
  it('of the wrong way, place or form are refused with a code of their own', async () => {
    const { ask, url } = await startControl();
    const refused: [string, string, unknown, number, string][] = [
      ['GET', '/nothing', undefined, 404, 'routeUnknown'],
      ['GET', '/__proto__', undefined, 404, 'routeUnknown'],
      ['GET', '/start', undefined, 405, 'methodUnknown'],
      ['POST', '/state', {}, 405, 'methodUnknown'],
      ['DELETE', '/open', undefined, 405, 'methodUnknown'],
      ['POST', '/open', '{', 400, 'badJson'],
      ['POST', '/open', {}, 422, 'notAcceptable'],
      ['POST', '/open', { lesson: 'gas-lost', seed: -1 }, 422, 'notAcceptable'],
      ['POST', '/open', { lesson: 'gas-lost', seed: null, more: 1 }, 422, 'notAcceptable'],
      ['POST', '/open', { lesson: '../gas-lost', seed: null }, 422, 'notAcceptable'],
      ['POST', '/open', openOf('no-such-lesson'), 404, 'lessonUnknown'],
      ['POST', '/start', { speed: 3 }, 422, 'notAcceptable'],
      ['POST', '/open', `{"lesson":"${'x'.repeat(9000)}"}`, 413, 'tooLarge'],
    ];
    for (const [method, path, body, status, code] of refused) {
      const answer = await ask(method, path, body);
      expect([answer.status, answer.body.code], `${method} ${path}`).toEqual([status, code]);
      expect(CONTROL_PROBLEMS).toContain(code);
      expect(answer.body.detail).toMatch(/\.$/);
    }
    const form = await ask('POST', '/open', 'lesson=gas-lost', {
      ...CONTROL_AUTH,
      'content-type': 'text/plain',
    });
    expect([form.status, form.body.code]).toEqual([415, 'notJson']);
    // A body that does not say how long it is, and does not end, is given up on at the limit.
    const status = await new Promise<number | undefined>((resolve, reject) => {
      const endless = request(
        `${url}/open`,
        { method: 'POST', headers: { ...CONTROL_AUTH, ...JSON_TYPE } },
        response => {
          resolve(response.statusCode);
          endless.destroy();
        },
      );
      endless.on('error', reject);
      endless.write('x'.repeat(20_000));
    });
    expect(status).toBe(413);
  });

  it('for the lessons tell what each is, and nothing of what goes wrong in it', async () => {
    const { ask } = await startControl();
    const { lessons } = lessonListSchema.parse((await ask('GET', '/lessons')).body);
    expect(lessons.length).toBeGreaterThanOrEqual(12);
    expect(lessons.find(({ id }) => id === 'two-hour-shift')).toMatchObject({
      rigs: 2,
      replay: false,
      seed: 113,
    });
  });
});

/** Every step from every state: does it fit, and what then. */
const STEPS = ['/open', '/start', '/freeze', '/resume', '/speed', '/inject', '/end'] as const;
const BODIES: Record<string, unknown> = {
  '/open': openOf('gas-lost'),
  '/start': { speed: 1 },
  '/speed': { speed: 2 },
  '/inject': { rig: 'rig-a', fault: 'feedOffset', size: -10, rampMm: 0, lengthMm: null },
};
const WAYS: Record<string, readonly string[]> = {
  idle: [],
  ready: ['/open'],
  running: ['/open', '/start'],
  frozen: ['/open', '/start', '/freeze'],
  ended: ['/open', '/start', '/end'],
};
const FITS: Record<string, Partial<Record<(typeof STEPS)[number], string>>> = {
  idle: { '/open': 'ready' },
  ready: { '/open': 'ready', '/start': 'running', '/speed': 'ready', '/end': 'ended' },
  running: { '/freeze': 'frozen', '/speed': 'running', '/end': 'ended', '/inject': 'running' },
  frozen: { '/resume': 'running', '/speed': 'frozen', '/end': 'ended', '/inject': 'frozen' },
  ended: { '/open': 'ready' },
};

describe.each(Object.keys(WAYS))('in the state %s', from => {
  it.each(STEPS)('%s does what fits, and else changes nothing', async step => {
    const { bench, ask, post, does } = await startControl();
    for (const path of WAYS[from]!) {
      await does(path, BODIES[path] ?? {});
      // Both sides are in their first pass before anything is put in.
      if (path === '/start') await bench.pass(12);
    }
    const before = controlStateSchema.parse((await ask('GET', '/state')).body);
    expect(before.state).toBe(from);
    const expected = FITS[from]![step];
    const { status, body } = await post(step, BODIES[step] ?? {});
    if (expected === undefined) {
      expect([status, body.code]).toEqual([409, 'wrongState']);
      expect(controlStateSchema.parse((await ask('GET', '/state')).body)).toEqual(before);
    } else {
      expect(status, JSON.stringify(body)).toBe(200);
      expect(controlStateSchema.parse(body).state).toBe(expected);
    }
  });
});
