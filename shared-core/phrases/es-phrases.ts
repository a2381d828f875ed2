import { ALARM_PHRASES } from './es-phrases-alarms.ts';
import { CAUSE_PHRASES } from './es-phrases-causes.ts';
import { DRIFT_PHRASES } from './es-phrases-drift.ts';
import { JOURNAL_PHRASES } from './es-phrases-journal.ts';
import { PROBLEM_PHRASES } from './es-phrases-problems.ts';
import { PROOF_PHRASES } from './es-phrases-proofs.ts';
import { RECORD_PHRASES } from './es-phrases-record.ts';
import { SIGN_PHRASES } from './es-phrases-signs.ts';
import { SUM_PHRASES } from './es-phrases-sums.ts';
import { MORE_SUM_PHRASES } from './es-phrases-sums-more.ts';
import { TRAINING_PHRASES } from './es-phrases-training.ts';
import type { Phrase } from './phrase-book.ts';

/** Spanish: sentences that are written in English elsewhere, by their templates. */
export const ES_PHRASES: readonly Phrase[] = [
  ...JOURNAL_PHRASES,
  ...RECORD_PHRASES,
  ...ALARM_PHRASES,
  ...DRIFT_PHRASES,
  ...CAUSE_PHRASES,
  ...SIGN_PHRASES,
  ...PROBLEM_PHRASES,
  ...TRAINING_PHRASES,
  ...SUM_PHRASES,
  ...MORE_SUM_PHRASES,
  ...PROOF_PHRASES,
];
