import type { VerifyReport } from '#core/messages/api-verify';
import type { Verified } from './verify-store.ts';

export function verifyReport(
  { problems, tally }: Verified,
  about: Pick<VerifyReport, 'at' | 'software' | 'scope' | 'joint'>,
): VerifyReport {
  return {
    schema: 'girthlog.verify/1',
    ...about,
    fits: problems.length === 0,
    problems,
    checked: { ...tally.checked },
    notes: tally.notes,
    keys: tally.keys(),
  };
}
