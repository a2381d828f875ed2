import { type Signal, signal } from '@preact/signals';
import type { RigReadiness } from '#core/messages/api-journal';

/** What the server may answer: a list, alone or under a name. */
type ReadinessAnswer = { readonly readiness: readonly RigReadiness[] };

/** What every rig has and lacks, as the server last said it; kept when the connection is lost. */
export class ReadinessStore {
  readonly all: Signal<ReadonlyMap<string, RigReadiness>> = signal(new Map());
  readonly loaded: Signal<boolean> = signal(false);
  /** Why the last reading failed; null when it did not. Empty: the server could not be reached. */
  readonly failure: Signal<string | null> = signal(null);
  readonly #read: () => Promise<ReadinessAnswer>;

  constructor(read: () => Promise<ReadinessAnswer>) {
    this.#read = read;
  }

  async refresh(): Promise<void> {
    try {
      const { readiness } = await this.#read();
      this.all.value = new Map(readiness.map(one => [`${one.site}/${one.rig}`, one]));
      this.loaded.value = true;
      this.failure.value = null;
    } catch (error) {
      this.failure.value = error instanceof Error ? error.message : '';
    }
  }

  onEvent(name: string, data: unknown): void {
    if (name !== 'readiness') return;
    const one = data as RigReadiness;
    this.all.value = new Map(this.all.peek()).set(`${one.site}/${one.rig}`, one);
  }

  of(site: string, rig: string): RigReadiness | null {
    return this.all.value.get(`${site}/${rig}`) ?? null;
  }
}

/** The readiness as it is at `nowMs`: a check whose time has run out since the server spoke is expired here too. */
export function readinessAt(said: RigReadiness, nowMs: number): RigReadiness {
  const ranOut = (check: RigReadiness['checks'][number]): boolean =>
    check.state === 'valid' && check.dueAt !== null && Date.parse(check.dueAt) <= nowMs;
  if (!said.checks.some(ranOut)) return said;
  return {
    ...said,
    ready: false,
    checks: said.checks.map(check => (ranOut(check) ? { ...check, state: 'expired' as const } : check)),
  };
}

/** The first check that keeps a rig from being ready, in the order the server lists them. */
export const firstMissing = (readiness: RigReadiness): RigReadiness['checks'][number] | null =>
  readiness.checks.find(check => check.state !== 'valid') ?? null;
