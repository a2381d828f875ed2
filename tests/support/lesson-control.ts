import { expect, onTestFinished } from 'vitest';
import { controlStateSchema, type Truth, truthSchema } from '#core/training/control';
import { ControlServer } from '../../simulator/training/control-server.ts';
import { LessonBench, shipped } from './lesson-bench.ts';

export const CONTROL_TOKEN = 'a-token-of-this-test-only';
export const CONTROL_AUTH = { authorization: `Bearer ${CONTROL_TOKEN}` };
export const JSON_TYPE = { 'content-type': 'application/json' };

/** The control server over the lessons that ship, with time that the test moves; stopped with the running test. */
export async function startControl() {
  const bench = new LessonBench(await shipped());
  const errors: unknown[] = [];
  const server = new ControlServer(bench.control, CONTROL_TOKEN, error => errors.push(error));
  const url = await server.start(0);
  onTestFinished(async () => {
    bench.control.stop();
    await server.stop();
    expect(errors).toEqual([]);
  });
  const ask = async (
    method: string,
    path: string,
    body?: unknown,
    headers: Record<string, string> = CONTROL_AUTH,
  ) => {
    const init: RequestInit = { method, headers: { ...JSON_TYPE, ...headers } };
    if (body !== undefined) init.body = typeof body === 'string' ? body : JSON.stringify(body);
    const response = await fetch(url + path, init);
    return { status: response.status, headers: response.headers, body: await response.json() };
  };
  const post = (path: string, body: unknown = {}) => ask('POST', path, body);
  /** POST that must be done; the new state. */
  const does = async (path: string, body: unknown = {}) => {
    const { status, body: state } = await post(path, body);
    expect(status, JSON.stringify(state)).toBe(200);
    return controlStateSchema.parse(state);
  };
  const truth = async (): Promise<Truth['windows']> =>
    truthSchema.parse((await ask('GET', '/truth')).body).windows;
  return { bench, url, ask, post, does, truth };
}

/** Body of POST /open. */
export const openOf = (lesson: string, seed: number | null = null) => ({ lesson, seed });
