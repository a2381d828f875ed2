/** What the journal's routes do. All of it works while every edge and the broker are away. */
import type { Express } from 'express';
import type { Entry, EntryOf } from '#core/journal/entry';
import { finding } from '#core/journal/finding';
import { foldJoint } from '#core/journal/joint-fold';
import { jointState } from '#core/journal/joint-state';
import { proposeWork } from '#core/journal/proposal';
import { workFindings } from '#core/journal/work-findings';
import type { Finding } from '#core/messages/api-journal';
import type { Assignment } from '#core/messages/assignment';
import type { RigAddress } from '#core/topics/topics';
import { actorMay } from '../auth/actor.ts';
import { rolesFor } from '../auth/who-may.ts';
import { checkEntry, type EntryChecks, entryOrigin } from './check-entry.ts';
import type { DashboardContext } from './context.ts';
import { edgeRun } from './edge-run.ts';
import type { JournalFacts } from './journal-facts.ts';
import { JOURNAL_ROUTES } from './journal-routes.ts';
import { movedJudgement, passJournal } from './pass-journal.ts';
import { ApiProblem } from './problem.ts';
import { serve } from './route.ts';

export function addJournalRoutes(app: Express, context: DashboardContext): void {
  const { store, board, dispatch, facts, now, newId, announcements, hub } = context;
  const checks: EntryChecks = { store, board, facts, now };

  serve(app, JOURNAL_ROUTES.entries, ({ query }) => {
    const { items, next } = store.journal.page(query);
    return { entries: [...items], next };
  });
  serve(app, JOURNAL_ROUTES.addEntry, ({ body, asker: { actor } }) => {
    if (body.body.kind === 'procedureStatus' && !actorMay(actor, 'approveProcedure')) {
      const roles = rolesFor('approveProcedure').join(' or ');
      throw new ApiProblem(403, 'roleMissing', `To approve or withdraw a procedure needs the role ${roles}.`);
    }
    checkEntry(body, checks);
    const origin = entryOrigin(body.body, checks);
    const entry = store.journal.add({ id: newId(), at: now().toISOString(), origin, ...body });
    if (entry.body.kind === 'passMoved') movedJudgement(entry as EntryOf<'passMoved'>, context);
    announce(entry);
    return entry;
  });

  serve(app, JOURNAL_ROUTES.jointState, ({ params: { joint }, query }) => {
    const known = facts.joint(joint, query.origin);
    if (known) return jointState(known);
    throw new ApiProblem(404, 'jointUnknown', `Nothing is entered or recorded of joint ${joint}.`);
  });
  serve(app, JOURNAL_ROUTES.jointList, ({ query }) => facts.list.page(query));

  serve(app, JOURNAL_ROUTES.readiness, () => ({
    serverUtc: now().toISOString(),
    readiness: facts.readinessOf(board.list()),
  }));
  serve(app, JOURNAL_ROUTES.rigReadiness, ({ params }) => facts.readiness(knownRig(params)));
  serve(app, JOURNAL_ROUTES.proposal, ({ params }) => proposeWork(facts.proposal(knownRig(params))));
  serve(app, JOURNAL_ROUTES.edgeRun, ({ params, query }) => edgeRun(store, knownRig(params), query.channel));

  serve(app, JOURNAL_ROUTES.passJournal, ({ params: { passId } }) => {
    const pass = store.pass(passId);
    if (pass) return passJournal(pass, context);
    throw new ApiProblem(404, 'passUnknown', `No pass ${passId} is stored.`);
  });
  serve(app, JOURNAL_ROUTES.unassignedPasses, () => ({ passes: facts.unassigned() }));

  function knownRig(address: RigAddress): RigAddress {
    if (board.find(address)) return address;
    throw new ApiProblem(404, 'rigUnknown', `No rig ${address.site}/${address.rig} is known here.`);
  }

  function announce(entry: Entry): void {
    const told = announcements.tell('entry', `entry ${entry.id}`, entry);
    if (told) hub.announce(told);
    if ('rig' in entry.body) context.tellReadiness(entry.body);
    if (entry.body.kind === 'watchChanged') for (const rig of board.list()) dispatch.publishWatch(rig);
    if (entry.body.kind === 'passMoved') {
      const pass = store.pass(entry.body.passId);
      if (pass) context.tellReadiness(pass);
    }
  }
}

/** What to know of work just assigned: of the joint, then whether the rig is ready. */
export function assignmentFindings(
  facts: JournalFacts,
  address: RigAddress,
  work: Assignment['work'],
): Finding[] {
  if (!work) return [];
  const joint = facts.joint(work.joint);
  const ahead = joint ? workFindings(joint, foldJoint(joint), work) : [];
  const { ready, findings } = facts.readiness(address);
  if (ready) return ahead;
  const text = `${address.site}/${address.rig} is not ready: ${findings.map(one => one.text).join(' ')}`;
  return [
    ...ahead,
    finding('rigNotReady', text, 'Do what is missing; the pass carries it otherwise.', '/ready'),
  ];
}
