import { type Signal, signal } from '@preact/signals';
import type { ProcedureEntry } from '#core/messages/api-lists';
import { inClockZone } from '#core/position/clock-position';
import { type ResolvedLimit, resolveLimits } from '#core/procedure/limits';
import type { Procedure } from '#core/procedure/procedure';

/** A revision never changes, so one that is known is never read again; an unknown one is asked for at most this often. */
const ASK_AGAIN_MS = 5000;

/** The stored procedure revisions, and their limits in stored units. */
export class Procedures {
  readonly all: Signal<readonly ProcedureEntry[]> = signal([]);
  /** True once they were read. */
  readonly loaded: Signal<boolean> = signal(false);
  /** Why the last reading failed, in the server’s words, '' where it could not be reached; null when it did not. */
  readonly failure: Signal<string | null> = signal(null);
  readonly #read: () => Promise<readonly ProcedureEntry[]>;
  readonly #nowMs: () => number;
  readonly #limits = new Map<string, readonly ResolvedLimit[]>();
  #askedMs = Number.NEGATIVE_INFINITY;

  constructor(read: () => Promise<readonly ProcedureEntry[]>, nowMs: () => number) {
    this.#read = read;
    this.#nowMs = nowMs;
  }

  find(id: string, revision: number): Procedure | null {
    const found = this.all.value.find(
      ({ procedure }) => procedure.id === id && procedure.revision === revision,
    );
    return found?.procedure ?? null;
  }

  /** Asks the server for revisions this page does not know yet. */
  want(id: string, revision: number): void {
    if (this.find(id, revision) === null && this.#nowMs() - this.#askedMs > ASK_AGAIN_MS) void this.refresh();
  }

  async refresh(): Promise<void> {
    this.#askedMs = this.#nowMs();
    try {
      this.all.value = await this.#read();
      this.loaded.value = true;
      this.failure.value = null;
    } catch (error) {
      this.failure.value = error instanceof Error ? error.message : '';
      // Out of reach: values stay without limits, which the tile says, and the question is asked again.
    }
  }

  limitsOf(procedure: Procedure, passName: string): readonly ResolvedLimit[] {
    const key = `${procedure.id}@${procedure.revision}/${passName}`;
    const known = this.#limits.get(key);
    if (known !== undefined) return known;
    const pass = procedure.passes.find(({ name }) => name === passName);
    let limits: readonly ResolvedLimit[] = [];
    try {
      limits = pass === undefined ? [] : resolveLimits(pass);
    } catch {
      // A unit that does not fit: no limit can be shown for this pass; the server refuses such files on entry.
    }
    this.#limits.set(key, limits);
    return limits;
  }
}

/** What a 1 s mean is best held against on screen, first wins. */
const BASES = ['instant', 'window', 'pass'] as const;

/** The limit drawn for a quantity: the one judged soonest, of the clock zone the arc is in. */
export function limitShown(
  limits: readonly ResolvedLimit[],
  quantity: string,
  clock: number | null,
): ResolvedLimit | null {
  const fitting = limits.filter(
    limit =>
      limit.quantity === quantity &&
      (limit.clockZone === null || (clock !== null && inClockZone(clock, limit.clockZone))),
  );
  for (const basis of BASES) {
    const ofBasis = fitting.filter(limit => limit.basis === basis);
    const found = ofBasis.find(limit => limit.clockZone !== null) ?? ofBasis[0];
    if (found !== undefined) return found;
  }
  return null;
}
