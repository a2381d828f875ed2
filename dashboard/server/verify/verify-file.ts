/** An exported joint record; where a store is at hand too, the record is a witness of what that store held. */
import { readFileSync } from 'node:fs';
import type { VerifyProblem } from '#core/messages/api-verify';
import { EXIT, ProgramError } from '#core/program/program-error';
import { checkJointRecord } from './check-joint-record.ts';
import type { Trust } from './check-journal.ts';
import { Tally } from './tally.ts';
import { verifyProblem } from './verify-problem.ts';
import type { VerifyReader } from './verify-reader.ts';
import type { Verified } from './verify-store.ts';

export interface VerifiedFile extends Verified {
  readonly joint: string | null;
}

/** Throws ProgramError where the file cannot be read at all. */
export function verifyFile(file: string, trust: Trust, store: VerifyReader | null): VerifiedFile {
  const tally = new Tally();
  const found = checkJointRecord(readJson(file), trust, tally);
  if ('part' in found) return { problems: [found], tally, joint: null };
  const { joint, journal } = found.record;
  const lost = store && witnessProblem(journal, found.record.at, store);
  return { problems: lost ? [lost] : [], tally, joint };
}

/** Does the store still hold the journal entry that the record was signed beside? */
function witnessProblem(
  { number, hash }: { readonly number: number; readonly hash: string },
  at: string,
  store: VerifyReader,
): VerifyProblem | null {
  const kept = store.hashOfEntry(number);
  if (kept === hash) return null;
  const what = kept === null ? 'is no longer in the store' : 'is another one in the store now';
  return verifyProblem(
    'head',
    `Journal entry ${number}, the newest when this record was signed on ${at}, ${what}.`,
    {
      entry: number,
    },
  );
}

function readJson(file: string): unknown {
  let text: string;
  try {
    text = readFileSync(file, 'utf8');
  } catch (error) {
    throw new ProgramError(
      `Cannot read ${file} (${(error as NodeJS.ErrnoException).code}).`,
      EXIT.configuration,
    );
  }
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
