/** Puts one joint into one signed document: what a third party checks without this system. */
import type { JointFacts } from '#core/journal/joint-facts';
import type { SignedEntry } from '#core/journal/signed-entry';
import { type JointRecord, jointRecordText, type SignedJointRecord } from '#core/record/joint-record';
import type { DashboardStore } from '../store/store.ts';
import { sha256Hex } from './ed25519.ts';

export interface JointRecordContext {
  readonly store: DashboardStore;
  readonly software: string;
  readonly at: string;
}

/** Signed by the store's key. */
export function signedJointRecord(
  facts: JointFacts,
  { store, software, at }: JointRecordContext,
): SignedJointRecord {
  const { joint, origin, recorded } = facts;
  const signed = facts.entries.map(entry => ({ entry, signed: store.journal.signed(entry) }));
  const passes = recorded.map(({ message, work }): JointRecord['passes'][number] => {
    const kept = store.verification.recorded(message.passId);
    const sealed = kept && store.verification.sealOf(kept.streamId, kept.seq, message.passId);
    return {
      pass: message,
      counts: work.joint === joint,
      batch: kept && { seq: kept.seq, hash: kept.hash },
      seal: sealed?.signed ?? null,
      sealReason: sealed ? null : whyNoSeal(message.state),
    };
  });
  const people = new Map(store.people().map(({ id, name }) => [id, name]));
  const named = new Set(facts.entries.map(({ author }) => author));
  const record: JointRecord = {
    schema: 'girthlog.joint-record/1',
    joint,
    origin,
    at,
    software,
    passes,
    entries: signed.flatMap((one): SignedEntry[] => (one.signed ? [one.signed] : [])),
    unsigned: signed.flatMap(one => (one.signed ? [] : [one.entry.number])),
    journal: store.journal.signedHead(),
    people: [...named].flatMap(id => (people.has(id) ? [{ id, name: people.get(id)! }] : [])),
    keys: { dashboard: dashboardKeys(store), edges: edgeKeys(passes, store) },
  };
  const text = jointRecordText(record);
  return { record, hash: sha256Hex(text), key: store.key.fingerprint, signature: store.key.sign(text) };
}

function dashboardKeys(store: DashboardStore): JointRecord['keys']['dashboard'] {
  const { fingerprint, publicKey } = store.key;
  const used = store.journal.keys().map(key => ({ fingerprint: key.fingerprint, publicKey: key.publicKey }));
  return used.some(key => key.fingerprint === fingerprint) ? used : [...used, { fingerprint, publicKey }];
}

/** Keys that this store trusts or has trusted of the rigs that welded the joint: never taken from a seal itself. */
function edgeKeys(passes: JointRecord['passes'], store: DashboardStore): JointRecord['keys']['edges'] {
  const rigs = new Map(passes.map(({ pass: { site, rig } }) => [`${site}/${rig}`, { site, rig }]));
  return [...rigs.values()].flatMap(rig =>
    store.verification
      .sealKeys(rig)
      .map(key => ({ ...rig, fingerprint: key.keyId, publicKey: key.publicKey })),
  );
}

function whyNoSeal(state: 'open' | 'closed'): string {
  return state === 'open'
    ? 'The pass is still open: an edge seals a pass when it is closed.'
    : 'No record with its seal has come from the edge.';
}
