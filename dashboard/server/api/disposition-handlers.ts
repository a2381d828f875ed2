/** Dispositions, the passphrases they are signed with, and the dashboard's keys. Nothing here proposes a disposition. */
import type { Express } from 'express';
import type { Entry, NewEntry } from '#core/journal/entry';
import type { Person } from '#core/messages/api';
import type { Right } from '#core/messages/api-account';
import type { Asker } from '../auth/actor.ts';
import { mayDo, rolesFor } from '../auth/who-may.ts';
import { inSteps } from '../in-steps.ts';
import { publicKeyPem } from '../seal/ed25519.ts';
import { signedJointRecord } from '../seal/joint-record.ts';
import { signatureState } from '../seal/signature-state.ts';
import { verifyJoint } from '../verify/verify-joint.ts';
import { verifyReport } from '../verify/verify-report.ts';
import { checkEntry, ENTRY_PROBLEMS, entryOrigin } from './check-entry.ts';
import type { DashboardContext } from './context.ts';
import { DISPOSITION_ROUTES } from './disposition-routes.ts';
import { ApiProblem } from './problem.ts';
import { serve } from './route.ts';

export function addDispositionRoutes(app: Express, context: DashboardContext): void {
  const { store, board, facts, now, newId, access } = context;
  const { passphrases } = access;

  serve(app, DISPOSITION_ROUTES.dispositions, ({ params: { joint } }) => {
    const entries = store.journal.about(`joint ${joint}`).filter(({ body }) => body.kind === 'disposition');
    const own = new Map(store.journal.keys().map(key => [key.fingerprint, key.publicKey]));
    const dispositions = entries.map(entry => {
      const signed = store.journal.signed(entry);
      return { entry, state: signatureState(signed, own), signed };
    });
    return { joint, dispositions };
  });

  serve(app, DISPOSITION_ROUTES.addDisposition, async ({ params: { joint }, body, asker }) => {
    const { author, passphrase, decision, ...rest } = body;
    const person = knownPerson(author, ENTRY_PROBLEMS.authorUnknown, 'authorUnknown');
    requireRole(person, 'disposition', 'rule about a joint');
    if (!facts.joint(joint)) throw unknownJoint(joint);
    await passphrases.prove(person, passphrase);
    // After the wait: who signs may have lost the role or the session, what it corrects may have been corrected.
    access.requireStill(asker);
    requireRole(
      knownPerson(author, ENTRY_PROBLEMS.authorUnknown, 'authorUnknown'),
      'disposition',
      'rule about a joint',
    );
    return enter({ ...rest, author, body: { kind: 'disposition', joint, decision } }, asker);
  });

  serve(app, DISPOSITION_ROUTES.setPassphrase, async ({ params, body: { author, ...body }, asker }) => {
    const person = knownPerson(params.person, 404, 'personUnknown');
    const by = knownPerson(author, ENTRY_PROBLEMS.authorUnknown, 'authorUnknown');
    const isFirst = by.id === person.id && !passphrases.has(person.id);
    if (by.id !== person.id) requireRole(by, 'resetPassphrase', 'set the passphrase of somebody else');
    if (!isFirst) await passphrases.prove(by, body.authorPassphrase ?? '');
    access.requireStill(asker);
    await passphrases.set(person.id, body.passphrase, [person.name]);
    // Whoever else knew the old one is out.
    const own = asker.actor.kind === 'person' ? asker.actor.session.stored.id : null;
    access.sessions.endAllOf(person.id, own);
    const shiftDate = now().toISOString().slice(0, 10);
    const said = { author, shiftDate, reason: null, corrects: null };
    return enter({ ...said, body: { kind: 'passphraseSet', person: person.id } }, asker);
  });

  serve(app, DISPOSITION_ROUTES.jointRecord, ({ params: { joint }, query }) => {
    const known = facts.joint(joint, query.origin);
    if (!known) throw unknownJoint(joint);
    const { software } = context.system();
    return signedJointRecord(known, { store, software, at: now().toISOString() });
  });

  serve(app, DISPOSITION_ROUTES.jointVerification, async ({ params: { joint } }) => {
    const trust = new Set(store.trustedKeys());
    const verified = await inSteps(verifyJoint(store.verification, joint, trust, 'ownSeals'));
    if (!verified) throw unknownJoint(joint);
    const { software } = context.system();
    return verifyReport(verified, { at: now().toISOString(), software, scope: 'joint', joint });
  });

  serve(app, DISPOSITION_ROUTES.verification, async () => {
    try {
      return await context.verifyWhole();
    } catch (error) {
      throw new ApiProblem(
        503,
        'notVerified',
        `The check did not come to its end: ${(error as Error).message}`,
      );
    }
  });

  serve(app, DISPOSITION_ROUTES.keys, () => {
    const { fingerprint, publicKey } = store.key;
    const dashboard = { fingerprint, publicKey, publicKeyPem: publicKeyPem(publicKey) ?? '' };
    return { dashboard, used: store.journal.keys() };
  });

  function knownPerson(id: string, status: 404 | 422, code: string): Person {
    const person = store.people().find(one => one.id === id);
    if (person) return person;
    throw new ApiProblem(status, code, `Person ${id} is not among the people here: add the name first.`);
  }

  /** Written down in the log of accounts as well, or not entered at all. */
  function enter(entry: NewEntry, asker: Asker): Entry {
    const checks = { store, board, facts, now };
    checkEntry(entry, checks, 'proven');
    const origin = entryOrigin(entry.body, checks);
    const stored = store.atOnce(() => {
      const { author, body } = entry;
      const detail = body.kind === 'disposition' ? `disposition of ${body.joint}` : body.kind;
      access.audit.write(body.kind === 'passphraseSet' ? 'passphraseSet' : 'signed', asker, {
        person: body.kind === 'passphraseSet' ? body.person : author,
        by: author,
        detail,
      });
      return store.journal.add({ id: newId(), at: now().toISOString(), origin, ...entry });
    });
    const told = context.announcements.tell('entry', `entry ${stored.id}`, stored);
    if (told) context.hub.announce(told);
    return stored;
  }
}

function unknownJoint(joint: string): ApiProblem {
  return new ApiProblem(404, 'jointUnknown', `Nothing is entered or recorded of joint ${joint}.`);
}

function requireRole(person: Person, act: Right, what: string): void {
  if (mayDo(person, act)) return;
  throw new ApiProblem(
    403,
    'roleMissing',
    `${person.name} may not ${what}: that needs the role ${rolesFor(act).join(' or ')}.`,
  );
}
