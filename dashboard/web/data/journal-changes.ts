import { type Signal, signal } from '@preact/signals';
import type { Entry } from '#core/journal/entry';
import type { PassMessage } from '#core/messages/pass';

/** Says when what people entered, or what was recorded, has changed: a view that shows it reads it again. */
export class JournalChanges {
  /** Counts every change of any joint; also every new connection, after which anything may have changed. */
  readonly joints: Signal<number> = signal(0);
  readonly rigs: Signal<number> = signal(0);
  /** The newest entry the stream told of. */
  readonly entry: Signal<Entry | null> = signal(null);

  onEvent(name: string, data: unknown): void {
    if (name === 'entry') this.entered(data as Entry);
    else if (name === 'pass' && (data as PassMessage).state === 'closed') this.joints.value += 1;
  }

  /** An entry of this page's own: shown at once, also where the stream is slow to tell of it. */
  entered(entry: Entry): void {
    this.entry.value = entry;
    if ('joint' in entry.body || 'person' in entry.body) this.joints.value += 1;
    if ('rig' in entry.body) this.rigs.value += 1;
  }

  reconnected(): void {
    this.joints.value += 1;
    this.rigs.value += 1;
  }
}
