/** A stand-in for the server's procedure routes, in front of the page: revisions and entries kept as posted. */
import type { Page } from 'playwright-core';
import type { z } from 'zod';
import { type Entry, newEntrySchema } from '#core/journal/entry';
import { newProcedureSchema } from '#core/messages/api';
import type { ProcedureEntry } from '#core/messages/api-lists';
import type { ProcedureJoints, ProcedureStates } from '#core/messages/api-procedure';
import type { Procedure } from '#core/procedure/procedure';
import { START_UTC_MS } from './dashboard-fixtures.ts';

export interface FakeProcedures {
  readonly stored: ProcedureEntry[];
  readonly entries: Entry[];
  joints: ProcedureJoints['joints'];
  /** The next POST of a procedure is refused with this sentence. */
  refuseNext: string | null;
}

const utc = (ms: number): string => new Date(ms).toISOString();

/** The server's own words for a body that does not fit its schema. */
function refusalText(error: z.ZodError): string {
  const issue = error.issues[0];
  const at = issue && issue.path.length > 0 ? ` at ${issue.path.join('.')}` : '';
  return `The body is not valid${at}: ${issue?.message ?? 'unreadable'}.`;
}

export async function fakeProcedures(page: Page, first: readonly Procedure[]): Promise<FakeProcedures> {
  const fake: FakeProcedures = {
    stored: first.map(procedure => ({ at: utc(START_UTC_MS), author: 'p-1', procedure })),
    entries: [],
    joints: [],
    refuseNext: null,
  };
  const problem = (status: number, code: string, detail: string) => ({
    status,
    contentType: 'application/problem+json',
    body: JSON.stringify({ type: 'about:blank', title: 'Refused', status, detail, code }),
  });

  function states(): ProcedureStates['states'] {
    return fake.stored.map(({ procedure: { id, revision } }) => {
      const last = fake.entries.findLast(
        ({ body }) =>
          body.kind === 'procedureStatus' && body.procedureId === id && body.procedureRevision === revision,
      );
      const state = last?.body.kind === 'procedureStatus' ? last.body.status : 'draft';
      return {
        id,
        revision,
        state,
        at: last?.at ?? null,
        author: last?.author ?? null,
        reason: last?.reason ?? null,
      };
    });
  }

  await page.route(/\/api\/v1\/(procedures|procedure-states|entries)\b/, async route => {
    const request = route.request();
    const { pathname } = new URL(request.url());
    const posts = request.method() === 'POST';
    if (posts && request.headers()['x-girthlog'] !== '1') {
      return route.fulfill(problem(403, 'headerMissing', 'The header is missing.'));
    }
    if (pathname === '/api/v1/procedure-states') return route.fulfill({ json: { states: states() } });
    if (pathname.endsWith('/joints')) return route.fulfill({ json: { joints: fake.joints } });
    if (pathname === '/api/v1/entries') {
      if (!posts) return route.fulfill({ json: { entries: fake.entries.toReversed(), next: null } });
      const read = newEntrySchema.safeParse(request.postDataJSON());
      if (!read.success) return route.fulfill(problem(400, 'bodyInvalid', refusalText(read.error)));
      const number = fake.entries.length + 1;
      const entry: Entry = { ...read.data, number, id: `e-${number}`, at: utc(Date.now()), origin: 'real' };
      fake.entries.push(entry);
      return route.fulfill({ status: 201, json: entry });
    }
    if (!posts) return route.fulfill({ json: { procedures: fake.stored } });
    if (fake.refuseNext !== null) {
      const detail = fake.refuseNext;
      fake.refuseNext = null;
      return route.fulfill(problem(422, 'refused', detail));
    }
    const read = newProcedureSchema.safeParse(request.postDataJSON());
    if (!read.success) return route.fulfill(problem(400, 'bodyInvalid', refusalText(read.error)));
    const { author, procedure } = read.data;
    const { id, revision } = procedure;
    if (fake.stored.some(one => one.procedure.id === id && one.procedure.revision === revision)) {
      return route.fulfill(
        problem(409, 'procedureRevisionTaken', `${id} revision ${revision} is stored already.`),
      );
    }
    const entry: ProcedureEntry = { at: utc(Date.now()), author, procedure };
    fake.stored.push(entry);
    return route.fulfill({ status: 201, json: entry });
  });
  return fake;
}
