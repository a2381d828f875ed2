import { type Signal, signal } from '@preact/signals';
import type { Entry } from '#core/journal/entry';
import type { EntryPage } from '#core/messages/api-journal';

export interface Hold {
  readonly reason: string;
  readonly author: string;
  readonly at: string;
}

/** The joints on hold by these entries, in any order: of each joint the last one that stands decides. */
export function holdsOf(entries: readonly Entry[]): ReadonlyMap<string, Hold> {
  const corrected = new Set(entries.map(entry => entry.corrects));
  const held = new Map<string, Hold>();
  for (const entry of [...entries].sort((a, b) => a.number - b.number)) {
    const { body } = entry;
    if (body.kind !== 'hold' || corrected.has(entry.id)) continue;
    if (body.on) held.set(body.joint, { reason: entry.reason ?? '', author: entry.author, at: entry.at });
    else held.delete(body.joint);
  }
  return held;
}

/** Which joints are on hold, for every screen that shows a joint; kept as last known when the server is away. */
export class Holds {
  readonly all: Signal<ReadonlyMap<string, Hold>> = signal(new Map());
  readonly #read: (query: Readonly<Record<string, string>>) => Promise<EntryPage>;
  #entries: readonly Entry[] = [];

  constructor(read: (query: Readonly<Record<string, string>>) => Promise<EntryPage>) {
    this.#read = read;
  }

  async refresh(): Promise<void> {
    const read: Entry[] = [];
    try {
      let before: string | null = null;
      do {
        const page: EntryPage = await this.#read({
          kind: 'hold',
          limit: '200',
          ...(before === null ? {} : { before }),
        });
        read.push(...page.entries);
        before = page.next;
      } while (before !== null);
    } catch {
      // Out of reach: what was known stays, and the next connection asks again.
      return;
    }
    this.#take(read);
  }

  onEvent(name: string, data: unknown): void {
    if (name === 'entry' && (data as Entry).body.kind === 'hold') this.add(data as Entry);
  }

  add(entry: Entry): void {
    if (entry.body.kind === 'hold') this.#take([...this.#entries.filter(({ id }) => id !== entry.id), entry]);
  }

  of(joint: string): Hold | null {
    return this.all.value.get(joint) ?? null;
  }

  #take(entries: readonly Entry[]): void {
    this.#entries = entries;
    this.all.value = holdsOf(entries);
  }
}
