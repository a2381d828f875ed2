/** A stand-in for the server's procedure routes, in front of the page: revisions and entries kept as posted. */
import { parse } from 'csv-parse/sync';
import type { Page } from 'playwright-core';
import type { z } from 'zod';
import { type Entry, newEntrySchema } from '#core/journal/entry';
import { newProcedureSchema } from '#core/messages/api';
import type { ProcedureEntry } from '#core/messages/api-lists';
import type { ProcedureJoints, ProcedureStates } from '#core/messages/api-procedure';
import { procedureProblems } from '#core/procedure/impossible';
import { passTableCsv, readPassTable } from '#core/procedure/pass-table';
import type { Procedure } from '#core/procedure/procedure';
import example from '../../simulator/demo/example-procedure.json' with { type: 'json' };
import { START_UTC_MS } from './dashboard-fixtures.ts';
import type { OpenOptions, WebPage } from './web-page.ts';

export const FIRST_REVISION = example as unknown as Procedure;
export const SECOND_REVISION: Procedure = {
  ...FIRST_REVISION,
  revision: 2,
  passes: FIRST_REVISION.passes.map((pass, i) => (i === 0 ? { ...pass, gas: 'M21' } : pass)),
};

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

  function statusOf(id: string, revision: number) {
    const statusEntry = fake.entries.findLast(
      ({ body }) =>
        body.kind === 'procedureStatus' && body.procedureId === id && body.procedureRevision === revision,
    );
    const state = statusEntry?.body.kind === 'procedureStatus' ? statusEntry.body.status : ('draft' as const);
    return { state, statusEntry: statusEntry ?? null };
  }

  const states = (): ProcedureStates['states'] =>
    fake.stored.map(({ procedure: { id, revision } }) => {
      const { state, statusEntry } = statusOf(id, revision);
      const { at = null, author = null, reason = null } = statusEntry ?? {};
      return { id, revision, state, at, author, reason };
    });

  function revisionAnswer(id: string, revision: number, file: string | undefined) {
    const entry = fake.stored.find(one => one.procedure.id === id && one.procedure.revision === revision);
    if (entry === undefined) return problem(404, 'procedureUnknown', 'There is no such revision.');
    const attachment = (contentType: string, body: string) => ({
      contentType,
      headers: { 'content-disposition': `attachment; filename="${id}-${revision}.${file}"` },
      body,
    });
    if (file === 'pass-table.csv') return attachment('text/csv', passTableCsv(entry.procedure.passes));
    if (file === 'procedure.json') return attachment('application/json', JSON.stringify(entry.procedure));
    return { json: { ...entry, ...statusOf(id, revision), revisions: [] } };
  }

  await page.route(/\/api\/v1\/(procedures|procedure-states|pass-table|entries)\b/, async route => {
    const request = route.request();
    const { pathname } = new URL(request.url());
    const posts = request.method() === 'POST';
    if (posts && request.headers()['x-girthlog'] !== '1') {
      return route.fulfill(problem(403, 'headerMissing', 'The header is missing.'));
    }
    if (pathname === '/api/v1/procedure-states') return route.fulfill({ json: { states: states() } });
    if (pathname.endsWith('/joints')) return route.fulfill({ json: { joints: fake.joints } });
    if (pathname === '/api/v1/pass-table') {
      const rows: string[][] = parse((request.postDataJSON() as { csv: string }).csv, { bom: true });
      const read = readPassTable(rows);
      return read.ok
        ? route.fulfill({ status: 201, json: { passes: read.passes } })
        : route.fulfill(problem(422, 'passTableInvalid', read.problem));
    }
    const [, id, revision, file] = /procedures\/([^/]+)\/(\d+)(?:\/(.*))?$/.exec(pathname) ?? [];
    if (id !== undefined) return route.fulfill(revisionAnswer(id, Number(revision), file));
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
    const [impossible] = procedureProblems(procedure);
    if (impossible) return route.fulfill(problem(422, 'procedureImpossible', impossible.message));
    const taken = fake.stored.some(
      one => one.procedure.id === procedure.id && one.procedure.revision === procedure.revision,
    );
    if (taken) {
      return route.fulfill(
        problem(
          409,
          'procedureRevisionTaken',
          `${procedure.id} revision ${procedure.revision} is stored already.`,
        ),
      );
    }
    const entry: ProcedureEntry = { at: utc(Date.now()), author, procedure };
    fake.stored.push(entry);
    return route.fulfill({ status: 201, json: entry });
  });
  return fake;
}

/** A view of the page with these revisions stored; by default two of the example. */
export async function openProcedures(
  open: WebPage['open'],
  hash: string,
  stored: readonly Procedure[] = [FIRST_REVISION, SECOND_REVISION],
  options: OpenOptions = {},
): Promise<{ page: Page; fake: FakeProcedures }> {
  const page = await open([], { ...options, hash: '#/about' });
  const fake = await fakeProcedures(page, stored);
  await page.evaluate(to => {
    location.hash = to;
  }, hash);
  return { page, fake };
}
