/**
 * Personal passphrases: how a person signs in, and proves to be the one who signs. Kept hashed, never logged, never
 * answered. Wrong ones make the next try of that person wait (guess-delay.ts).
 */
import type { Person } from '#core/messages/api';
import { ApiProblem, type ProblemStatus } from '../api/problem.ts';
import type { PassphraseTable } from '../store/passphrase-table.ts';
import { isCommonPassphrase } from './common-passphrase.ts';
import { GuessDelay } from './guess-delay.ts';
import { costOf, hashPassphrase, isPassphrase, type ScryptCost } from './passphrase-hash.ts';

/** Problem codes of every route that asks for a passphrase. */
export const PASSPHRASE_PROBLEMS = {
  passphraseNotSet: 403,
  passphraseWrong: 403,
  passphraseWait: 429,
} as const satisfies Record<string, ProblemStatus>;

/** And of every route that sets one. */
export const NEW_PASSPHRASE_PROBLEMS = { passphraseCommon: 422 } as const satisfies Record<
  string,
  ProblemStatus
>;

/** Each takes tens of megabytes for a while: more at once would be a way to fill the memory. */
const MOST_AT_ONCE = 2;
const MOST_WAITING = 16;

export interface PassphrasesOptions {
  readonly table: Pick<PassphraseTable, 'of' | 'add'>;
  readonly now: () => Date;
  readonly monotonicMs: () => number;
  readonly cost: ScryptCost;
  readonly delay?: GuessDelay;
  /** A signing failed by its passphrase. */
  readonly onWrong?: (person: Person) => void;
}

export class Passphrases {
  private readonly options: PassphrasesOptions;
  readonly delay: GuessDelay;
  /** What is compared with where there is nothing to compare with, so that both take as long. */
  private readonly nobodys: Promise<string>;
  private running = 0;
  private readonly waiting: (() => void)[] = [];

  constructor(options: PassphrasesOptions) {
    this.options = options;
    this.delay = options.delay ?? new GuessDelay(options.monotonicMs);
    this.nobodys = hashPassphrase('nobody has this passphrase', options.cost);
  }

  has(personId: string): boolean {
    return this.options.table.of(personId) !== null;
  }

  /** Throws ApiProblem where it is one that everybody tries. `own`: names of the person. */
  async set(personId: string, passphrase: string, own: readonly string[] = []): Promise<void> {
    this.requireUncommon(passphrase, own);
    await this.store(personId, passphrase);
  }

  requireUncommon(passphrase: string, own: readonly string[]): void {
    if (!isCommonPassphrase(passphrase, own)) return;
    throw new ApiProblem(
      NEW_PASSPHRASE_PROBLEMS.passphraseCommon,
      'passphraseCommon',
      'That is one of the first that anybody tries: take several words that do not belong together.',
    );
  }

  /** Whether it is the person's; takes as long where there is no such person. */
  async check(personId: string | null, passphrase: string): Promise<boolean> {
    const { table, cost, now } = this.options;
    const keptNow = (): string | null => (personId === null ? null : table.of(personId));
    return this.inTurn(async () => {
      for (;;) {
        const kept = keptNow();
        const right = await isPassphrase(passphrase, kept ?? (await this.nobodys));
        // Set anew while it was looked at: the one that holds now is looked at.
        if (keptNow() !== kept) continue;
        if (!right || kept === null || personId === null) return false;
        if (!isCheaper(costOf(kept), cost)) return true;
        const dearer = await hashPassphrase(passphrase, cost);
        if (keptNow() !== kept) continue;
        table.add(personId, now().toISOString(), dearer);
        return true;
      }
    });
  }

  /** Returns when `passphrase` is that of the person. Throws ApiProblem. */
  async prove(person: Person, passphrase: string): Promise<void> {
    if (!this.has(person.id)) {
      throw new ApiProblem(
        PASSPHRASE_PROBLEMS.passphraseNotSet,
        'passphraseNotSet',
        `${person.name} has set no passphrase yet: set one first, then sign.`,
      );
    }
    // Counted apart from signing in: who only guesses at the door keeps nobody from signing who is inside.
    const answer = await this.delay.try([{ key: `signing ${person.id}`, free: 0 }], () =>
      this.check(person.id, passphrase),
    );
    if (answer === 'right') return;
    if (answer !== 'wrong') {
      throw new ApiProblem(
        PASSPHRASE_PROBLEMS.passphraseWait,
        'passphraseWait',
        `After a wrong passphrase the next try waits: again in ${answer.waitS} s.`,
      );
    }
    this.options.onWrong?.(person);
    throw new ApiProblem(
      PASSPHRASE_PROBLEMS.passphraseWrong,
      'passphraseWrong',
      `That is not the passphrase of ${person.name}: nothing was signed.`,
    );
  }

  private async store(personId: string, passphrase: string): Promise<void> {
    const hash = await hashPassphrase(passphrase, this.options.cost);
    this.options.table.add(personId, this.options.now().toISOString(), hash);
  }

  private async inTurn<T>(work: () => Promise<T>): Promise<T> {
    if (this.running >= MOST_AT_ONCE) {
      if (this.waiting.length >= MOST_WAITING) {
        throw new ApiProblem(429, 'passphraseWait', 'Too many passphrases are tried at once: again in 1 s.');
      }
      await new Promise<void>(resolve => this.waiting.push(resolve));
    } else this.running++;
    try {
      return await work();
    } finally {
      // The place goes to who waits longest.
      const next = this.waiting.shift();
      if (next) next();
      else this.running--;
    }
  }
}

/** How a person's tries are counted at signing in. */
export const keyOf = (personId: string): string => `person ${personId}`;

/** Made when less was asked: made anew when it is next shown. */
function isCheaper(had: ScryptCost | null, asked: ScryptCost): boolean {
  return had !== null && had.N * had.r * had.p < asked.N * asked.r * asked.p;
}
