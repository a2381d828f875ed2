/** What each route of the table does. */
import type { Express } from 'express';
import type { Person } from '#core/messages/api';
import { procedureProblems } from '#core/procedure/impossible';
import { addAlarmRoutes } from '../alarms/alarm-handlers.ts';
import { addAccountRoutes } from '../auth/account-handlers.ts';
import { actorMay } from '../auth/actor.ts';
import { addExportRoutes } from '../export/export-handlers.ts';
import { addMachineRoutes } from '../machines/machine-handlers.ts';
import { addShiftRoutes } from '../shift/shift-handlers.ts';
import { addTrainingRoutes } from '../training/training-handlers.ts';
import type { DashboardContext } from './context.ts';
import { addDispositionRoutes } from './disposition-handlers.ts';
import { jointRing, originShown } from './joint-ring.ts';
import { addJournalRoutes, assignmentFindings } from './journal-handlers.ts';
import { ApiProblem } from './problem.ts';
import { addProcedureRoutes } from './procedure-handlers.ts';
import { addReviewRoutes } from './review-handlers.ts';
import { serve } from './route.ts';
import { ROUTES } from './route-table.ts';
import { sampleRange } from './sample-range.ts';
import { addSealRoutes } from './seal-handlers.ts';
import { addWatchRoutes } from './watch-handlers.ts';

export function addRoutes(app: Express, context: DashboardContext): void {
  addReading(app, context);
  addEntries(app, context);
  addJournalRoutes(app, context);
  addProcedureRoutes(app, context);
  addAlarmRoutes(app, context);
  addDispositionRoutes(app, context);
  addSealRoutes(app, context);
  addWatchRoutes(app, context);
  addReviewRoutes(app, context);
  addShiftRoutes(app, context);
  addExportRoutes(app, context);
  addTrainingRoutes(app, context);
  addMachineRoutes(app, context);
  addAccountRoutes(app, context);
  serve(app, ROUTES.system, () => context.system());
}

function addReading(app: Express, { store, samples, board, now }: DashboardContext): void {
  serve(app, ROUTES.rigs, () => ({ serverUtc: now().toISOString(), rigs: board.list() }));
  serve(app, ROUTES.samples, ({ params, query }) => {
    if (!board.find(params)) {
      throw new ApiProblem(404, 'rigUnknown', `No rig ${params.site}/${params.rig} has reported here.`);
    }
    return samples.overview(params, sampleRange(store, params, query, now), query);
  });

  serve(app, ROUTES.passes, ({ query }) => {
    // Real and simulated work on one joint number never share a list.
    const origin =
      query.joint === undefined ? query.origin : originShown(store.jointOrigins(query.joint), query.origin);
    const { items, next } = store.passes({ ...query, origin });
    return { passes: [...items], next };
  });
  serve(app, ROUTES.pass, ({ params }) => passOf(params.passId));
  serve(app, ROUTES.passSamples, ({ params, query }) => {
    const { site, rig, stream, startUs, endUs } = passOf(params.passId);
    const range = { kind: 'record', fromUs: startUs, toUs: Math.max(endUs, startUs + 1), stream } as const;
    return samples.overview({ site, rig }, range, query);
  });
  serve(app, ROUTES.deviations, ({ query }) => {
    const origin =
      query.joint === undefined ? query.origin : originShown(store.jointOrigins(query.joint), query.origin);
    const { items, next } = store.deviations({ ...query, origin });
    return { deviations: [...items], next };
  });
  serve(app, ROUTES.events, ({ query: { from, to, ...filter } }) => {
    const { items, next } = store.events({ ...filter, fromUtc: stampOf(from), toUtc: stampOf(to) });
    return { events: [...items], next };
  });

  serve(app, ROUTES.joints, ({ query }) => {
    const origins = store.jointOrigins();
    const origin = originShown(origins, query.origin);
    const { items, next } = store.joints(origin, query.limit, query.before);
    return { origin, origins, joints: [...items], next };
  });
  serve(app, ROUTES.joint, ({ params, query }) => jointOf(params.joint, query.origin));
  serve(app, ROUTES.jointRing, ({ params: { joint }, query }) => {
    const assigned = board.assignmentsOf(joint, query.origin);
    const stored = store.jointOrigins(joint);
    if (stored.length === 0 && assigned.length === 0) throw unknownJoint(joint);
    const origin = originShown(stored.length > 0 ? stored : assigned.map(one => one.origin), query.origin);
    const work = assigned.find(one => one.origin === origin)?.work ?? null;
    const ring = jointRing(store, joint, store.joint(joint, origin)?.passes ?? [], work);
    if (ring) return ring;
    throw new ApiProblem(404, 'ringUnknown', `No pass of joint ${joint} names a procedure and a diameter.`);
  });

  function passOf(passId: string) {
    const pass = store.pass(passId);
    if (pass) return pass;
    throw new ApiProblem(404, 'passUnknown', `No pass ${passId} is stored.`);
  }

  function jointOf(joint: string, asked: Parameters<typeof originShown>[1]) {
    const detail = store.joint(joint, originShown(store.jointOrigins(joint), asked));
    if (detail) return detail;
    throw unknownJoint(joint);
  }
}

function unknownJoint(joint: string): ApiProblem {
  return new ApiProblem(404, 'jointUnknown', `No pass of joint ${joint} is stored.`);
}

/** Roles of a name that only stands in records, such as a member of the crew. */
const NAMED_BY_ANYBODY: readonly Person['roles'][number][] = ['viewer', 'weldSetter'];

function addEntries(app: Express, context: DashboardContext): void {
  const { store, board, dispatch, now, newId } = context;
  const requireAuthor = (id: string): void => {
    if (store.people().some(person => person.id === id)) return;
    throw new ApiProblem(
      422,
      'authorUnknown',
      'The author is not among the people here: add the name first.',
    );
  };

  serve(app, ROUTES.procedures, () => ({ procedures: store.procedures() }));
  serve(app, ROUTES.addProcedure, ({ body: { author, procedure } }) => {
    requireAuthor(author);
    const [problem] = procedureProblems(procedure, context.rigRange);
    if (problem) throw new ApiProblem(422, 'procedureImpossible', problem.message);
    const { id, revision } = procedure;
    const entry = { at: now().toISOString(), author, procedure };
    if (store.addProcedure(procedure, entry.at, author)) return entry;
    const kept = store.procedure(id, revision)!;
    // Sent twice is not a change.
    if (JSON.stringify(kept.procedure) === JSON.stringify(procedure)) return kept;
    throw new ApiProblem(
      409,
      'procedureRevisionTaken',
      `Revision ${revision} of ${id} is stored with other content and never changes: give it a new revision.`,
    );
  });

  serve(app, ROUTES.assignments, ({ query }) => {
    const { items, next } = store.assignments(query);
    const assignments = items.map(entry => ({
      site: entry.site,
      rig: entry.rig,
      assignment: board.present(entry),
    }));
    return { assignments, next };
  });
  serve(app, ROUTES.addAssignment, ({ body: { site, rig, author, work } }) => {
    requireAuthor(author);
    if (work) {
      const entry = store.procedure(work.procedureId, work.procedureRevision);
      const named = `revision ${work.procedureRevision} of procedure ${work.procedureId}`;
      if (!entry) throw new ApiProblem(422, 'procedureUnknown', `There is no ${named} here: store it first.`);
      if (!entry.procedure.passes.some(pass => pass.name === work.pass)) {
        throw new ApiProblem(422, 'passUnknown', `There is no pass "${work.pass}" in ${named}.`);
      }
    }
    if (!board.admit({ site, rig }, null, false)) {
      throw new ApiProblem(422, 'rigLimit', 'There are as many rigs here as the settings allow (max_rigs).');
    }
    const stored = { site, rig, id: newId(), at: now().toISOString(), author, work };
    store.addAssignment(stored);
    board.refreshAssignment(stored);
    dispatch.publishAssignment(stored);
    const findings = assignmentFindings(context.facts, stored, work);
    return { site, rig, assignment: board.present(stored), findings };
  });

  serve(app, ROUTES.people, () => {
    const holders = store.passphrases.holders();
    const people = store.people().map(person => ({ ...person, hasPassphrase: holders.has(person.id) }));
    return { people, verified: false as const };
  });
  serve(app, ROUTES.addPerson, ({ body: { name, roles }, asker }) => {
    if (roles.some(role => !NAMED_BY_ANYBODY.includes(role)) && !actorMay(asker.actor, 'manageAccounts')) {
      throw new ApiProblem(403, 'roleMissing', 'Only an administrator says who is more than a weld setter.');
    }
    const person: Person = { id: newId(), name, roles };
    store.atOnce(() => {
      store.addPerson(person, now().toISOString());
      context.access.audit.write('personNamed', asker, { person: person.id, detail: roles.join(', ') });
    });
    return person;
  });
}

/** Stored stamps have milliseconds, and are compared as text. */
function stampOf(utc: string | undefined): string | undefined {
  return utc === undefined ? undefined : new Date(utc).toISOString();
}
