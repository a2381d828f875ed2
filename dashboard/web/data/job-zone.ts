import { type Signal, signal } from '@preact/signals';
import { isZone } from '#core/csv/local-time';
import type { System } from '#core/messages/api-lists';
import { manner } from '../text/text.ts';

type Store = Pick<Storage, 'getItem' | 'setItem'>;

const ZONE_KEY = 'girthlog.zone';
const TOLD_KEY = 'girthlog.zoneTold';

/**
 * The time zone of the job, as the dashboard says it; kept, so that a page opened without a network shows the same
 * times. The zone of the device is used only until it was said once.
 */
export class JobZone {
  /** The zone of this device, where it is another one and nobody has taken note of that yet; else null. */
  readonly differs: Signal<string | null> = signal(null);
  readonly #ask: () => Promise<Pick<System, 'timeZone'>>;
  readonly #storage: Store;
  readonly #device: string;

  constructor(ask: () => Promise<Pick<System, 'timeZone'>>, storage: Store, device: string) {
    this.#ask = ask;
    this.#storage = storage;
    this.#device = device;
    this.#take(this.#read(ZONE_KEY));
  }

  /** Asked with every connection: a dashboard may have been moved, or be another one. */
  async refresh(): Promise<void> {
    let zone: string;
    try {
      ({ timeZone: zone } = await this.#ask());
    } catch {
      // What was last said holds until it is said anew.
      return;
    }
    this.#take(zone);
    this.#write(ZONE_KEY, zone);
  }

  /** Somebody has read that this device is set to another zone: it is said once for each zone of a job. */
  understood(): void {
    this.#write(TOLD_KEY, manner.value.zone ?? '');
    this.differs.value = null;
  }

  #take(zone: string | null): void {
    if (zone === null || !isZone(zone)) return;
    if (manner.value.zone !== zone) manner.value = { ...manner.value, zone };
    const told = this.#read(TOLD_KEY) === zone;
    this.differs.value = told || sameClocks(zone, this.#device) ? null : this.#device;
  }

  #read(key: string): string | null {
    try {
      return this.#storage.getItem(key);
    } catch {
      return null;
    }
  }

  #write(key: string, value: string): void {
    try {
      this.#storage.setItem(key, value);
    } catch {
      // Storage is switched off in this browser: it is asked again with the next page.
    }
  }
}

/** Names differ more often than clocks do: Etc/UTC is UTC. */
function sameClocks(a: string, b: string): boolean {
  if (a === b || !isZone(b)) return true;
  const [one, other] = [a, b].map(
    timeZone => new Intl.DateTimeFormat('en', { timeZone }).resolvedOptions().timeZone,
  );
  return one === other;
}
