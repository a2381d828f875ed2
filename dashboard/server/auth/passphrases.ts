/**
 * Personal passphrases: how a person proves to be the one who signs. Kept hashed, never logged, never answered.
 * After a wrong one the next try has to wait, twice as long each time up to half a minute, for that person alone:
 * at most a few guesses a minute are looked at, and nobody is locked out for good.
 */
import type { Person } from '#core/messages/api';
import { ApiProblem, type ProblemStatus } from '../api/problem.ts';
import type { PassphraseTable } from '../store/passphrase-table.ts';
import { hashPassphrase, isPassphrase, type ScryptCost } from './passphrase-hash.ts';

/** Problem codes of every route that asks for a passphrase. */
export const PASSPHRASE_PROBLEMS = {
  passphraseNotSet: 403,
  passphraseWrong: 403,
  passphraseWait: 429,
} as const satisfies Record<string, ProblemStatus>;

const FIRST_WAIT_MS = 1000;
const LONGEST_WAIT_MS = 30_000;

interface Tries {
  failures: number;
  notBeforeMs: number;
  /** One is looked at at a time: many at once would be many guesses. */
  checking: boolean;
}

export interface PassphrasesOptions {
  readonly table: Pick<PassphraseTable, 'of' | 'add'>;
  readonly now: () => Date;
  readonly monotonicMs: () => number;
  readonly cost: ScryptCost;
}

export class Passphrases {
  private readonly options: PassphrasesOptions;
  private readonly tries = new Map<string, Tries>();

  constructor(options: PassphrasesOptions) {
    this.options = options;
  }

  has(personId: string): boolean {
    return this.options.table.of(personId) !== null;
  }

  async set(personId: string, passphrase: string): Promise<void> {
    const hash = await hashPassphrase(passphrase, this.options.cost);
    this.options.table.add(personId, this.options.now().toISOString(), hash);
  }

  /** Returns when `passphrase` is that of the person. Throws ApiProblem. */
  async prove(person: Person, passphrase: string): Promise<void> {
    const kept = this.options.table.of(person.id);
    if (kept === null) {
      throw new ApiProblem(
        PASSPHRASE_PROBLEMS.passphraseNotSet,
        'passphraseNotSet',
        `${person.name} has set no passphrase yet: set one first, then sign.`,
      );
    }
    const tries = this.tries.get(person.id) ?? { failures: 0, notBeforeMs: 0, checking: false };
    this.tries.set(person.id, tries);
    const waitMs = tries.notBeforeMs - this.options.monotonicMs();
    if (tries.checking || waitMs > 0) {
      const seconds = Math.max(1, Math.ceil(waitMs / 1000));
      throw new ApiProblem(
        PASSPHRASE_PROBLEMS.passphraseWait,
        'passphraseWait',
        `After a wrong passphrase the next try waits: again in ${seconds} s.`,
      );
    }
    tries.checking = true;
    try {
      if (await isPassphrase(passphrase, kept)) {
        this.tries.delete(person.id);
        return;
      }
    } finally {
      tries.checking = false;
    }
    tries.failures++;
    const pauseMs = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(tries.failures - 1, 10));
    tries.notBeforeMs = this.options.monotonicMs() + pauseMs;
    throw new ApiProblem(
      PASSPHRASE_PROBLEMS.passphraseWrong,
      'passphraseWrong',
      `That is not the passphrase of ${person.name}: nothing was signed.`,
    );
  }
}
