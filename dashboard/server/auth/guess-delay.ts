/**
 * After a wrong secret the next try has to wait, twice as long each time up to half a minute: at most a few guesses a
 * minute are looked at, and nobody is locked out for good. Kept in memory: a restart forgets, and takes longer itself.
 */

const FIRST_WAIT_MS = 1000;
const LONGEST_WAIT_MS = 30_000;
/** Keys that are remembered; of more than these the oldest are forgotten. */
const MOST_KEYS = 10_000;

interface Tries {
  failures: number;
  notBeforeMs: number;
  /** One is looked at at a time: many at once would be many guesses. */
  checking: boolean;
}

export interface DelayedKey {
  readonly key: string;
  /** Failures that cost nothing: several people may share an address. */
  readonly free: number;
}

export class GuessDelay {
  private readonly monotonicMs: () => number;
  private readonly tries = new Map<string, Tries>();

  constructor(monotonicMs: () => number) {
    this.monotonicMs = monotonicMs;
  }

  /** Runs `check`, or answers with the seconds to wait. `wrong` where it was not the right one. */
  async try(
    keys: readonly DelayedKey[],
    check: () => Promise<boolean>,
  ): Promise<'right' | 'wrong' | { readonly waitS: number }> {
    const all = keys.map(({ key, free }) => ({ free, key, tries: this.tries.get(key) ?? untried() }));
    const now = this.monotonicMs();
    // Of a key with free failures several may be looked at at once.
    const busy = all.some(({ free, tries }) => free === 0 && tries.checking);
    const waitMs = Math.max(...all.map(({ tries }) => tries.notBeforeMs - now));
    if (busy || waitMs > 0) return { waitS: Math.max(1, Math.ceil(waitMs / 1000)) };
    // Only what is looked at is remembered: tries that had to wait, with ever new names, would push out what made them wait.
    for (const { key, tries } of all) this.remember(key, tries);
    for (const { tries } of all) tries.checking = true;
    let right = false;
    try {
      right = await check();
    } finally {
      for (const { tries } of all) tries.checking = false;
    }
    for (const { key, free, tries } of all) {
      if (right) this.tries.delete(key);
      else this.fail(tries, free);
    }
    return right ? 'right' : 'wrong';
  }

  private remember(key: string, tries: Tries): void {
    // Last in the order of the map: what was tried longest ago is forgotten first.
    this.tries.delete(key);
    this.tries.set(key, tries);
    const [oldest] = this.tries.keys();
    if (this.tries.size > MOST_KEYS && oldest !== undefined) this.tries.delete(oldest);
  }

  private fail(tries: Tries, free: number): void {
    tries.failures++;
    const counted = tries.failures - free;
    if (counted <= 0) return;
    const pauseMs = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(counted - 1, 10));
    tries.notBeforeMs = this.monotonicMs() + pauseMs;
  }
}

const untried = (): Tries => ({ failures: 0, notBeforeMs: 0, checking: false });
