/**
 * The journal: are all entries there, each as it was signed, each following the one before, by a key that is the
 * dashboard's? Gives way after every page; what it returns is the first thing that does not fit.
 */
import { type EntryBody, subjectOf } from '#core/journal/entry';
import { JOURNAL_START, type SignedDocument, type SignedEntry } from '#core/journal/signed-entry';
import type { VerifyProblem } from '#core/messages/api-verify';
import { fingerprintOf } from '../seal/ed25519.ts';
import { signatureState } from '../seal/signature-state.ts';
import type { Tally } from './tally.ts';
import { verifyProblem } from './verify-problem.ts';
import type { EntryRow, VerifyReader } from './verify-reader.ts';

export function* checkJournal(
  reader: VerifyReader,
  trust: Trust,
  tally: Tally,
): Generator<void, VerifyProblem | null> {
  const keys = reader.dashboardKeys();
  let number = 0;
  let prev = JOURNAL_START;
  let found = 0;
  for (let rows = reader.entries(0); rows.length > 0; rows = reader.entries(number)) {
    for (const row of rows) {
      if (row.number !== number + 1) {
        return entryProblem(number + 1, `Journal entry ${number + 1} is missing: ${row.number} is here.`);
      }
      const problem = problemOf(row, prev, keys, trust);
      if (problem !== null) return entryProblem(row.number, `Journal entry ${row.number} ${problem}.`);
      number = row.number;
      prev = row.hash!;
      if (row.signed_as === 'foundAtMigration') found++;
      tally.checked.entries++;
      tally.key('dashboard', row.key!);
    }
    yield;
  }
  const last = reader.lastSignature();
  // One that was entered since is for the next time.
  if (last && last.number > number && reader.entries(number).length === 0) {
    return entryProblem(number + 1, `Journal entry ${number + 1} is missing: its signature is here.`);
  }
  if (found > 0) {
    tally.note(
      `${found === 1 ? '1 journal entry was' : `${found} journal entries were`} signed as found when the journal was first signed: ` +
        'nothing is proved of the time before.',
    );
  }
  return null;
}

/** Fingerprints that are the dashboard's by somebody's word; empty where nobody could be asked. */
export type Trust = ReadonlySet<string>;

/** What is wrong with one entry, going on after its name; null where nothing is. `prev` null: not looked at. */
export function problemOf(
  row: EntryRow,
  prev: string | null,
  keys: ReadonlyMap<string, string>,
  trust: Trust,
): string | null {
  const signed = signedOf(row);
  if (!signed) return 'carries no signature: it came into the journal beside the dashboard';
  if (prev !== null && signed.document.prev !== prev) {
    return 'does not follow the one before it: one of the two is not what was entered';
  }
  const { entry, key } = signed.document;
  if (row.kind !== entry.body.kind || row.subject !== subjectOf(entry.body)) {
    return 'is filed under something it is not about';
  }
  switch (signatureState(signed, keys)) {
    case 'otherContent':
      return 'is not what was signed: something in it was changed';
    case 'otherSignature':
      return 'carries a signature that its key did not make';
    case 'otherKey':
      return `is signed by key ${key.slice(0, 16)}, which is not here`;
    default:
  }
  const publicKey = keys.get(key);
  if (publicKey === undefined || fingerprintOf(publicKey) !== key) return `names a key that is another one`;
  if (trust.size > 0 && !trust.has(key))
    return `is signed by key ${key.slice(0, 16)}, which is not this dashboard's`;
  return null;
}

function signedOf(row: EntryRow): SignedEntry | null {
  const { prev, hash, key, signature } = row;
  if (prev === null || hash === null || key === null || signature === null) return null;
  const { number, id, at, author, shift_date: shiftDate, reason, corrects } = row;
  let body: EntryBody;
  try {
    body = JSON.parse(row.body) as EntryBody;
  } catch {
    body = { kind: row.kind } as EntryBody;
  }
  const origin = row.origin as SignedDocument['entry']['origin'];
  const signedAs = row.signed_as as SignedDocument['signedAs'];
  const entry = { number, id, at, origin, author, shiftDate, reason, corrects, body };
  return { document: { schema: 'girthlog.journal-entry/1', prev, key, signedAs, entry }, hash, signature };
}

const entryProblem = (entry: number, text: string): VerifyProblem =>
  verifyProblem('journal', text, { entry });
