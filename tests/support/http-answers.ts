/** What the HTTP tests share: answers checked against their schemas, and a dashboard with something in it. */
import { expect } from 'vitest';
import type { z } from 'zod';
import { type Problem, problemSchema } from '#core/messages/api';
import type { RouteSpec } from '../../dashboard/server/api/route.ts';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { startTestDashboard, type TestDashboard } from './test-dashboard.ts';
import {
  EXAMPLE_PROCEDURE,
  seal,
  testBody,
  testChain,
  testDeviation,
  testEvent,
  testPass,
} from './test-records.ts';

const RIG_TOPIC = 'girthlog/1/spread-1/rig-a/';

/** The answer, once it has the route's status and fits its schema. */
export async function answer<S extends RouteSpec>(
  spec: S,
  response: Response,
): Promise<z.infer<S['response']>> {
  const text = await response.text();
  expect(response.status, text).toBe(spec.status);
  expect(response.headers.get('cache-control')).toBe('no-store');
  return spec.response.parse(JSON.parse(text)) as z.infer<S['response']>;
}

/** The refusal, once it is problem details without anything internal. */
export async function problem(response: Response): Promise<Problem> {
  expect(response.headers.get('content-type')).toContain('application/problem+json');
  const body = problemSchema.parse(await response.json());
  expect(body.status).toBe(response.status);
  expect(body.detail).not.toMatch(/\n|node_modules|at .*\.ts/);
  return body;
}

/** Twenty seconds of samples, one pass with a deviation, three events, a procedure, a person. */
export async function filled(): Promise<TestDashboard & { author: string }> {
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
