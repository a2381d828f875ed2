/** Procedure revisions beside their list: one with its state, the joints that used it, pass tables as files. */
import type { Express } from 'express';
import { standingOf } from '#core/journal/entry';
import type { ProcedureJoints } from '#core/messages/api-procedure';
import type { Origin } from '#core/messages/common';
import { type PassTableAnswer, passTableCsv, readPassTable } from '#core/procedure/pass-table';
import { serveFile } from '../export/serve-file.ts';
import type { DashboardContext } from './context.ts';
import { csvRows } from './csv-rows.ts';
import { JOURNAL_ROUTES } from './journal-routes.ts';
import { ApiProblem } from './problem.ts';
import { serve } from './route.ts';

export function addProcedureRoutes(app: Express, context: DashboardContext): void {
  const { store, facts } = context;
  const revisionOf = (id: string, revision: number) => {
    const entry = store.procedure(id, revision);
    if (entry) return entry;
    throw new ApiProblem(
      404,
      'procedureUnknown',
      `There is no revision ${revision} of procedure ${id} here.`,
    );
  };

  serve(app, JOURNAL_ROUTES.procedureStates, () => ({
    states: store.procedures().map(({ procedure: { id, revision } }) => {
      const status = facts.procedureStatus(id, revision);
      return {
        id,
        revision,
        state: facts.procedureState(id, revision),
        at: status?.at ?? null,
        author: status?.author ?? null,
        reason: status?.reason ?? null,
      };
    }),
  }));
  serve(app, JOURNAL_ROUTES.procedure, ({ params: { id, revision } }) => ({
    ...revisionOf(id, revision),
    state: facts.procedureState(id, revision),
    statusEntry: facts.procedureStatus(id, revision),
    revisions: store
      .procedures()
      .filter(({ procedure }) => procedure.id === id)
      .map(({ procedure }) => ({
        revision: procedure.revision,
        state: facts.procedureState(id, procedure.revision),
      })),
  }));
  serve(app, JOURNAL_ROUTES.procedureJoints, ({ params: { id, revision } }) => {
    revisionOf(id, revision);
    return { joints: jointsOf(context, id, revision) };
  });
  serve(app, JOURNAL_ROUTES.readPassTable, ({ body: { csv } }) => {
    const read = tableOf(csv);
    if (read.ok) return { passes: read.passes };
    throw new ApiProblem(422, 'passTableInvalid', read.problem);
  });

  serveFile(app, JOURNAL_ROUTES.passTableCsv, ({ params: { id, revision } }) => ({
    name: `${id}-${revision}-passes.csv`,
    body: [passTableCsv(revisionOf(id, revision).procedure.passes)],
  }));
  serveFile(app, JOURNAL_ROUTES.procedureFile, ({ params: { id, revision } }) => ({
    name: `${id}-${revision}.json`,
    body: [`${JSON.stringify(revisionOf(id, revision).procedure, null, 2)}\n`],
  }));
}

function tableOf(csv: string): PassTableAnswer {
  const split = csvRows(csv);
  return split.ok ? readPassTable(split.rows, split.semicolons) : split;
}

type Use = ProcedureJoints['joints'][number];

/** From particulars, assignments, records and moves: whatever names the revision. */
function jointsOf({ store, board }: DashboardContext, id: string, revision: number): Use[] {
  const found = new Map<
    string,
    { joint: string; origin: Origin; by: Set<Use['by'][number]>; lastUtc: string }
  >();
  const add = (joint: string, origin: Origin, by: Use['by'][number], utc: string): void => {
    const key = `${origin} ${joint}`;
    const one = found.get(key) ?? { joint, origin, by: new Set(), lastUtc: utc };
    one.by.add(by);
    if (one.lastUtc < utc) one.lastUtc = utc;
    found.set(key, one);
  };
  const isIt = (work: {
    procedureId?: string | undefined;
    procedureRevision?: number | undefined;
  }): boolean => work.procedureId === id && work.procedureRevision === revision;
  for (const { joint, origin, lastUtc } of store.jointsByProcedure(id, revision))
    add(joint, origin, 'record', lastUtc);
  for (const { site, rig, at, work } of store.assignmentsByProcedure(id, revision)) {
    add(work.joint, board.originOf({ site, rig }), 'assignment', at);
  }
  for (const kind of ['jointOpened', 'jointChanged'] as const) {
    for (const { body, origin, at } of standingOf(store.journal.ofKind(kind), kind)) {
      if (isIt(body)) add(body.joint, origin, 'particulars', at);
    }
  }
  for (const { body, origin, at } of standingOf(store.journal.ofKind('passMoved'), 'passMoved')) {
    if (isIt(body)) add(body.joint, origin, 'move', at);
  }
  return [...found.values()]
    .map(one => ({ ...one, by: [...one.by] }))
    .sort((a, b) => (a.lastUtc < b.lastUtc ? 1 : -1));
}
