/** An exported joint record by itself: every signature in it, and that all of it speaks of one joint. */
import { subjectOf } from '#core/journal/entry';
import type { VerifyProblem } from '#core/messages/api-verify';
import { canonicalJson } from '#core/record/canonical-json';
import {
  type JointRecord,
  jointRecordText,
  type SignedJointRecord,
  signedJointRecordSchema,
} from '#core/record/joint-record';
import { readSeal } from '#core/record/seal-verify';
import { nodeSealCrypto } from '../ingest/node-seal-crypto.ts';
import { fingerprintOf, isSignedBy, sha256Hex } from '../seal/ed25519.ts';
import { signatureState } from '../seal/signature-state.ts';
import type { Trust } from './check-journal.ts';
import type { Tally } from './tally.ts';
import { verifyProblem } from './verify-problem.ts';

const OF_DOCUMENT = 'The joint record';

/** The first thing in it that does not fit. `value`: as read from its file. */
export function checkJointRecord(
  value: unknown,
  trust: Trust,
  tally: Tally,
): VerifyProblem | SignedJointRecord {
  const parsed = signedJointRecordSchema.safeParse(value);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    const at = issue?.path.join('.') ?? '';
    return verifyProblem(
      'document',
      `${OF_DOCUMENT} cannot be read${at === '' ? '' : ` at ${at}`}: ${issue?.message}.`,
    );
  }
  const signed = parsed.data;
  const problem =
    documentProblem(signed, trust) ??
    first(signed.record.passes, pass => passProblem(pass, signed.record, tally)) ??
    first(signed.record.entries, entry => entryProblem(entry, signed.record, tally));
  if (problem) return problem;
  tally.key('dashboard', signed.key);
  if (trust.size === 0) {
    tally.note(
      `Nothing says here that key ${signed.key.slice(0, 16)} is the dashboard's: compare its fingerprint.`,
    );
  }
  return signed;
}

function documentProblem(
  { record, hash, key, signature }: SignedJointRecord,
  trust: Trust,
): VerifyProblem | null {
  const text = jointRecordText(record);
  if (sha256Hex(text) !== hash) {
    return verifyProblem('document', `${OF_DOCUMENT} is not what was signed: something in it was changed.`);
  }
  const publicKey = record.keys.dashboard.find(({ fingerprint }) => fingerprint === key)?.publicKey;
  if (publicKey === undefined || fingerprintOf(publicKey) !== key) {
    return verifyProblem(
      'key',
      `${OF_DOCUMENT} is signed by key ${key.slice(0, 16)}, which it does not hold.`,
    );
  }
  if (!isSignedBy(publicKey, text, signature)) {
    return verifyProblem('document', `${OF_DOCUMENT} carries a signature that its key did not make.`);
  }
  if (trust.size > 0 && !trust.has(key)) {
    return verifyProblem(
      'key',
      `${OF_DOCUMENT} is signed by key ${key.slice(0, 16)}, which is not this dashboard's.`,
    );
  }
  if (record.unsigned.length > 0) {
    const [entry] = record.unsigned;
    return verifyProblem('journal', `Journal entry ${entry} carries no signature.`, { entry: entry! });
  }
  return null;
}

function passProblem(
  { pass, seal, sealReason }: JointRecord['passes'][number],
  record: JointRecord,
  tally: Tally,
): VerifyProblem | null {
  const { site, rig, stream, passId } = pass;
  tally.checked.passes++;
  if (seal === null) {
    tally.note(`Pass ${passId} carries no seal: ${sealReason ?? 'no reason is given'}`);
    return null;
  }
  const where = { site, rig, stream, passId };
  const read = readSeal(seal, nodeSealCrypto);
  if (typeof read === 'string') return verifyProblem('seal', `The seal of pass ${passId}: ${read}.`, where);
  if (read.seal.kind !== 'pass' || canonicalJson(read.seal.pass) !== canonicalJson(pass)) {
    return verifyProblem(
      'seal',
      `The seal of pass ${passId} is that of another pass, or the pass was changed.`,
      where,
    );
  }
  const isKnown = record.keys.edges.some(
    key => key.site === site && key.rig === rig && key.publicKey === read.publicKey,
  );
  if (!isKnown) {
    const text = `Pass ${passId} is sealed by key ${read.seal.keyId.slice(0, 16)}, which is not that of ${site}/${rig}.`;
    return verifyProblem('key', text, where);
  }
  tally.checked.seals++;
  tally.key(`${site}/${rig}`, read.seal.keyId);
  return null;
}

function entryProblem(
  signed: JointRecord['entries'][number],
  record: JointRecord,
  tally: Tally,
): VerifyProblem | null {
  const { entry } = signed.document;
  const where = { entry: entry.number };
  const own = new Map(record.keys.dashboard.map(key => [key.fingerprint, key.publicKey]));
  const state = signatureState(signed, own);
  if (state !== 'holds')
    return verifyProblem(
      'journal',
      `Journal entry ${entry.number} is not what was signed (${state}).`,
      where,
    );
  const isOfJoint =
    subjectOf(entry.body) === `joint ${record.joint}` ||
    (entry.body.kind === 'passMoved' &&
      record.passes.some(({ pass }) => entry.body.kind === 'passMoved' && pass.passId === entry.body.passId));
  if (!isOfJoint)
    return verifyProblem('journal', `Journal entry ${entry.number} is about something else.`, where);
  tally.checked.entries++;
  return null;
}

function first<T>(items: readonly T[], problemOf: (item: T) => VerifyProblem | null): VerifyProblem | null {
  for (const item of items) {
    const problem = problemOf(item);
    if (problem) return problem;
  }
  return null;
}
