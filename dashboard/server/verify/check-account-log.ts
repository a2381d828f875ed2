/** The log of accounts: is every line there, as it was written, following the one before? */
import type { VerifyProblem } from '#core/messages/api-verify';
import { AUDIT_START, auditHash } from '../store/audit-table.ts';
import { verifyProblem } from './verify-problem.ts';
import type { VerifyReader } from './verify-reader.ts';

/** Gives way after every page; what it returns is the first thing that does not fit. */
export function* checkAccountLog(reader: VerifyReader): Generator<void, VerifyProblem | null> {
  let number = 0;
  let prev = AUDIT_START;
  for (let rows = reader.accountLog(0); rows.length > 0; rows = reader.accountLog(number)) {
    for (const row of rows) {
      const name = `Line ${number + 1} of the log of accounts`;
      if (row.number !== number + 1)
        return verifyProblem('accounts', `${name} is missing: ${row.number} is here.`);
      if (row.prev !== prev) return verifyProblem('accounts', `${name} does not follow the one before it.`);
      if (row.hash !== auditHash(row)) return verifyProblem('accounts', `${name} is not as it was written.`);
      number = row.number;
      prev = row.hash;
    }
    yield;
  }
  return null;
}
