import { type Signal, signal } from '@preact/signals';
import type { StreamEvent } from '#core/messages/api';
import type { EventList } from '#core/messages/api-lists';
import type { RigEvent } from '#core/messages/event';

/** A change that the operator made; told, never announced. */
export interface Trim {
  readonly passIndex: number;
  readonly tUs: number;
  readonly quantity: string;
  /** Share of what it was before; null where that is not known. */
  readonly percent: number | null;
  readonly clock: number | null;
  readonly text: string;
}

/** As many as a tile may need to name. */
const KEPT = 8;

/** Trims of each rig's running pass: those stored before this page came, then those of the stream. */
export class Trims {
  readonly all: Signal<ReadonlyMap<string, readonly Trim[]>> = signal(new Map());
  readonly #read: (site: string, rig: string) => Promise<EventList>;
  readonly #asked = new Map<string, number>();

  constructor(read: (site: string, rig: string) => Promise<EventList>) {
    this.#read = read;
  }

  onEvent(name: string, data: unknown): void {
    if (name !== 'event') return;
    const { site, rig, event } = data as StreamEvent<'event'>;
    if (event.type === 'trim') this.#add(`${site}/${rig}`, [event]);
  }

  /** The stored ones of a pass that this page has just come to; asked for once. */
  want(site: string, rig: string, passIndex: number): void {
    const key = `${site}/${rig}`;
    if (this.#asked.get(key) === passIndex) return;
    this.#asked.set(key, passIndex);
    this.#read(site, rig).then(
      ({ events }) =>
        this.#add(
          key,
          events.map(({ event }) => event),
        ),
      // Nothing is missed that matters: the record has them, and the next pass is asked for again.
      () => undefined,
    );
  }

  of(key: string, passIndex: number | null): readonly Trim[] {
    return (this.all.value.get(key) ?? []).filter(trim => trim.passIndex === passIndex);
  }

  #add(key: string, events: readonly RigEvent[]): void {
    const known = this.all.peek().get(key) ?? [];
    const fresh = events.flatMap(event => trimOf(event) ?? []);
    const isNew = (trim: Trim): boolean =>
      !known.some(one => one.tUs === trim.tUs && one.quantity === trim.quantity);
    const merged = [...known, ...fresh.filter(isNew)].sort((a, b) => a.tUs - b.tUs).slice(-KEPT);
    this.all.value = new Map(this.all.peek()).set(key, merged);
  }
}

function trimOf({ passIndex, tUs, text, data }: RigEvent): Trim | null {
  const { quantity, baseline, change, fromClock } = data;
  if (passIndex === null || typeof quantity !== 'string') return null;
  const percent =
    typeof baseline === 'number' && typeof change === 'number' && baseline !== 0
      ? (100 * change) / baseline
      : null;
  return { passIndex, tUs, quantity, percent, text, clock: typeof fromClock === 'number' ? fromClock : null };
}
