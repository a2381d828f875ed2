/**
 * What is kept of one joint: the batches its passes were recorded in, their seals, and what was entered about it.
 * Gives way between passes. `everySeal` also looks for passes that were sealed for it and are shown nowhere, through
 * all seals of the store: too long for a screen that waits.
 */

import type { VerifyProblem } from '#core/messages/api-verify';
import type { SignedSeal } from '#core/record/seal';
import { coverProblem, readSeal, shortKey } from '#core/record/seal-verify';
import { nodeSealCrypto } from '../ingest/node-seal-crypto.ts';
import { problemOf, type Trust } from './check-journal.ts';
import { checkRecord, streamName } from './check-record.ts';
import { sameJson } from './check-shown.ts';
import { Tally } from './tally.ts';
import { verifyProblem } from './verify-problem.ts';
import type { JointPass, VerifyReader } from './verify-reader.ts';
import type { Verified } from './verify-store.ts';

/** Null where nothing is known of the joint. */
export function* verifyJoint(
  reader: VerifyReader,
  joint: string,
  trust: Trust,
  look: 'ownSeals' | 'everySeal',
): Generator<void, Verified | null> {
  const tally = new Tally();
  const passes = reader.passesOf(joint);
  const hidden = look === 'everySeal' ? reader.hiddenPasses(joint) : [];
  const entries = reader.entriesAbout(joint);
  if (passes.length + entries.length + hidden.length === 0) return null;
  const problems = hidden.map(({ passId, ...where }) =>
    verifyProblem('pass', `Pass ${passId} is sealed, and is not shown.`, { ...where, passId }),
  );
  for (const pass of passes) {
    const problem = passProblem(reader, pass, tally);
    if (problem) problems.push(problem);
    yield;
  }
  tally.checked.streams = new Set(passes.map(({ stream }) => stream.id)).size;
  const keys = reader.dashboardKeys();
  for (const row of entries) {
    const text = problemOf(row, reader.hashOfEntry(row.number - 1), keys, trust);
    if (text === null) {
      tally.checked.entries++;
      tally.key('dashboard', row.key!);
      continue;
    }
    problems.push(verifyProblem('journal', `Journal entry ${row.number} ${text}.`, { entry: row.number }));
    break;
  }
  return { problems, tally };
}

function passProblem(reader: VerifyReader, pass: JointPass, tally: Tally): VerifyProblem | null {
  const { stream, passId } = pass;
  const where = { site: stream.site, rig: stream.rig, stream: stream.stream, passId };
  const sealed = reader.sealOf(stream.id, pass.seq, passId);
  const range = sealed ? rangeOf(sealed.signed, pass.seq) : reader.batchesOf(stream.id, pass);
  let before: { seq: number; hash: string } | null = null;
  const hashes: string[] = [];
  let reduced = 0;
  const upto = sealed?.seq ?? range.last;
  for (let next = range.first - 1; next < upto; ) {
    const rows = reader.records(stream.id, next, upto);
    if (rows.length === 0) {
      return verifyProblem('record', `Record ${next + 1} of ${streamName(stream)} is missing.`, {
        ...where,
        seq: next + 1,
      });
    }
    for (const row of rows) {
      if (row.seq !== next + 1) {
        const text = `Record ${next + 1} of ${streamName(stream)} is missing: ${row.seq} is here.`;
        return verifyProblem('record', text, { ...where, seq: next + 1 });
      }
      const checked = checkRecord(reader, stream, row, before);
      if (checked.problem) return checked.problem;
      if (row.seq <= range.last) hashes.push(row.hash);
      if (row.reducedTo !== null) reduced++;
      tally.checked.records++;
      before = row;
      next = row.seq;
    }
  }
  tally.checked.passes++;
  if (!sealed) {
    const isOpen = (JSON.parse(pass.message) as { state?: unknown }).state === 'open';
    const why = isOpen ? 'is still open, and not sealed yet' : 'carries no seal here';
    tally.note(`Pass ${passId} ${why}: only its records were checked.`);
    return null;
  }
  const problem = sealProblem(pass, sealed.signed, hashes, reader.sealKeys(stream), tally);
  if (problem !== null)
    return verifyProblem('seal', `The seal of pass ${passId}: ${problem}.`, { ...where, seq: sealed.seq });
  tally.checked.seals++;
  if (reduced > 0) {
    tally.note(
      `Pass ${passId}: samples of ${reduced === 1 ? '1 record' : `${reduced} records`} pruned, root intact.`,
    );
  }
  return null;
}

function sealProblem(
  pass: JointPass,
  signed: SignedSeal,
  hashes: readonly string[],
  keys: readonly { readonly keyId: string }[],
  tally: Tally,
): string | null {
  const read = readSeal(signed, nodeSealCrypto);
  if (typeof read === 'string') return read;
  const { seal } = read;
  const { site, rig, stream } = pass.stream;
  if (seal.site !== site || seal.rig !== rig || seal.stream !== stream) return 'it belongs to another stream';
  if (seal.kind !== 'pass' || !sameJson(pass.message, seal.pass)) return 'it is that of another pass';
  if (keys.length > 0 && !keys.some(({ keyId }) => keyId === seal.keyId)) {
    return `it is signed by key ${shortKey(seal.keyId)}, which is not that of ${site}/${rig}`;
  }
  tally.key(`${site}/${rig}`, seal.keyId);
  return coverProblem(seal, hashes, nodeSealCrypto);
}

/** What a seal says it covers, before it is believed; the pass's own record where it says nothing sensible. */
function rangeOf({ seal }: SignedSeal, seq: number): { first: number; last: number } {
  const { firstSeq, lastSeq } = seal;
  const isRange = Number.isSafeInteger(firstSeq) && Number.isSafeInteger(lastSeq) && Number(firstSeq) >= 1;
  return isRange ? { first: Number(firstSeq), last: Number(lastSeq) } : { first: seq, last: seq };
}
