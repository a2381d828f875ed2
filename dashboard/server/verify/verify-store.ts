/** A whole store: every stream's records and seals, then the journal and the log of accounts. */
import type { VerifyProblem } from '#core/messages/api-verify';
import { checkAccountLog } from './check-account-log.ts';
import { checkJournal, type Trust } from './check-journal.ts';
import { checkRecords } from './check-records.ts';
import { Tally } from './tally.ts';
import type { VerifyReader } from './verify-reader.ts';

export interface Verified {
  readonly problems: VerifyProblem[];
  readonly tally: Tally;
}

/** Gives way after every page. The first problem of each stream, of the journal and of the log of accounts, in this order. */
export function* verifyStore(reader: VerifyReader, trust: Trust): Generator<void, Verified> {
  const tally = new Tally();
  const problems: VerifyProblem[] = [];
  for (const stream of reader.streams()) {
    const problem = yield* checkRecords(reader, stream, tally);
    if (problem) problems.push(problem);
  }
  const inJournal = yield* checkJournal(reader, trust, tally);
  if (inJournal) problems.push(inJournal);
  const inLog = yield* checkAccountLog(reader);
  if (inLog) problems.push(inLog);
  const conflicts = reader.conflicts();
  if (conflicts > 0) {
    const text = conflicts === 1 ? '1 record' : `${conflicts} records`;
    tally.note(`${text} came a second time with other content: kept beside the first, shown nowhere.`);
  }
  if (trust.size === 0)
    tally.note('No key of the dashboard lies beside this store: compare the fingerprints yourself.');
  return { problems, tally };
}
