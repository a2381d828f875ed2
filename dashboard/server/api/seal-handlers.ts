/** How seals and keys stand. Nothing here changes a seal; the store checked each as it came (ingest/seal-check.ts). */
import type { Express } from 'express';
import type { Person } from '#core/messages/api';
import { shortKey } from '#core/record/seal-verify';
import { mayDo, rolesFor } from '../auth/who-may.ts';
import type { StoredSeal } from '../store/seal-table.ts';
import type { DashboardContext } from './context.ts';
import { originShown } from './joint-ring.ts';
import { ApiProblem } from './problem.ts';
import { serve } from './route.ts';
import { SEAL_ROUTES } from './seal-routes.ts';

export function addSealRoutes(app: Express, context: DashboardContext): void {
  const { store, now, access } = context;
  const { passphrases } = access;

  serve(app, SEAL_ROUTES.seals, ({ query }) => {
    const { items, next } = store.seals.page(query);
    return { seals: items.map(factsOf), next };
  });

  serve(app, SEAL_ROUTES.passSeal, ({ params: { passId } }) => {
    const seal = store.seals.ofPass(passId);
    if (seal) return { ...factsOf(seal), signed: seal.signed };
    throw new ApiProblem(404, 'sealUnknown', `No seal of pass ${passId} is stored.`);
  });

  serve(app, SEAL_ROUTES.jointSeals, ({ params: { joint }, query }) => {
    const origin = originShown(store.jointOrigins(joint), query.origin);
    const detail = store.joint(joint, origin);
    if (!detail) throw new ApiProblem(404, 'jointUnknown', `No pass of joint ${joint} is stored.`);
    const closed = detail.passes.filter(({ state }) => state === 'closed');
    return { joint, origin, passes: closed.map(pass => standingOf(pass)) };
  });

  serve(app, SEAL_ROUTES.sealKeys, ({ params }) => ({ keys: store.seals.keys(params) }));

  serve(app, SEAL_ROUTES.acceptSealKey, async ({ params, body, asker }) => {
    const { author, passphrase, keyId, reason } = body;
    await passphrases.prove(keeperOfKeys(author), passphrase);
    // After the wait: who signs may have lost the role or the session.
    access.requireStill(asker);
    keeperOfKeys(author);
    store.atOnce(() => {
      const rig = `${params.site}/${params.rig}`;
      if (!store.seals.accept(params, keyId, { author, reason, at: now().toISOString() })) {
        throw new ApiProblem(404, 'keyUnknown', `${rig} has no refused key ${shortKey(keyId)}.`);
      }
      access.audit.write('signed', asker, { person: author, by: author, detail: `key of ${rig} trusted` });
    });
    context.report('sealKeyAccepted', { ...params, keyId, author });
    context.onSealKeyDecided();
    return { keys: store.seals.keys(params) };
  });

  function keeperOfKeys(author: string): Person {
    const person = store.people().find(({ id }) => id === author);
    if (!person) {
      throw new ApiProblem(
        422,
        'authorUnknown',
        'The author is not among the people here: add the name first.',
      );
    }
    if (mayDo(person, 'acceptSealKey')) return person;
    const roles = rolesFor('acceptSealKey').join(' or ');
    throw new ApiProblem(
      403,
      'roleMissing',
      `${person.name} may not trust a key: that needs the role ${roles}.`,
    );
  }

  function standingOf({ passId, site, rig }: { passId: string; site: string; rig: string }) {
    const seal = store.seals.ofPass(passId);
    if (!seal) return { passId, state: 'missing' as const, problem: null, keyId: null, trusted: false };
    const { state, problem, keyId } = seal;
    const key = store.seals.keys({ site, rig }).find(one => one.keyId === keyId);
    return { passId, state, problem, keyId, trusted: key !== undefined && key.state !== 'refused' };
  }
}

function factsOf({ id: _id, signed: _signed, ...facts }: StoredSeal) {
  return facts;
}
