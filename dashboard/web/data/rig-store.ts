import { batch, type Signal, signal } from '@preact/signals';
import type { Rig, StreamEvent } from '#core/messages/api';
import { STREAM_PACES_MS } from '#core/messages/stream-paces';
import { type LinkInfo, RigEntry } from './rig-entry.ts';
import type { LinkState } from './stream-client.ts';

export interface Clocks {
  /** Monotonic, ms: staleness is measured on this. */
  readonly monotonicMs: () => number;
  /** Wall clock, ms: only to be shown. */
  readonly wallMs: () => number;
}

/** Numbers change on screen at most this often, all together; flags at once, ms. */
const NUMBERS_EVERY_MS = 500;

/** A joint whose stored ring may have changed. */
export type JointChanged = (joint: string) => void;

/** Everything the stream says, by rig. `publish` moves what changed onto the screen's signals, in one batch. */
export class RigStore {
  readonly entries: Signal<readonly RigEntry[]> = signal([]);
  readonly link: Signal<LinkInfo> = signal({ state: 'connecting', downSinceMs: null });
  /** How often the server gives this screen live values, ms. */
  readonly everyMs: Signal<number> = signal(STREAM_PACES_MS[0]);
  /** False until the first whole picture has come. */
  readonly loaded: Signal<boolean> = signal(false);
  readonly nowMs: Signal<number>;
  jointChanged: JointChanged = () => undefined;
  readonly #clocks: Clocks;
  #numbersMs = Number.NEGATIVE_INFINITY;
  readonly #byKey = new Map<string, RigEntry>();

  constructor(clocks: Clocks) {
    this.#clocks = clocks;
    this.nowMs = signal(clocks.wallMs());
  }

  onLink(state: LinkState): void {
    const before = this.link.peek();
    const downSinceMs = state === 'open' ? null : (before.downSinceMs ?? this.#clocks.wallMs());
    if (state !== 'open') for (const entry of this.#byKey.values()) entry.forget();
    this.link.value = { state, downSinceMs };
    this.publish();
  }

  onEvent(name: string, data: unknown): void {
    if (name === 'rigs') this.#rigs(data as StreamEvent<'rigs'>);
    else if (name === 'rig') this.#rig(data as Rig);
    else if (name === 'live') this.#live(data as StreamEvent<'live'>);
    else if (name === 'pace') this.everyMs.value = (data as StreamEvent<'pace'>).everyMs;
    else if (name === 'event') this.#event(data as StreamEvent<'event'>);
    else if (name === 'pass') {
      const { joint } = data as StreamEvent<'pass'>;
      if (joint !== null) this.jointChanged(joint);
    }
  }

  entry(key: string): RigEntry | undefined {
    return this.#byKey.get(key);
  }

  /** The page woke up after being hidden: values wait for new data. */
  woke(): void {
    for (const entry of this.#byKey.values()) entry.forget();
    this.publish();
  }

  publish(): void {
    const nowMs = this.#clocks.monotonicMs();
    const link = this.link.peek();
    const numbersDue = nowMs - this.#numbersMs >= NUMBERS_EVERY_MS;
    if (numbersDue) this.#numbersMs = nowMs;
    batch(() => {
      for (const entry of this.#byKey.values()) entry.publish(nowMs, link, numbersDue);
      const wallS = Math.floor(this.#clocks.wallMs() / 1000) * 1000;
      if (wallS !== this.nowMs.peek()) this.nowMs.value = wallS;
    });
  }

  #rigs({ rigs }: StreamEvent<'rigs'>): void {
    batch(() => {
      for (const rig of rigs) this.#rig(rig);
      this.loaded.value = true;
    });
  }

  #rig(rig: Rig): void {
    const key = `${rig.site}/${rig.rig}`;
    const known = this.#byKey.get(key);
    if (known !== undefined) {
      known.replace(rig);
      return;
    }
    this.#byKey.set(key, new RigEntry(rig, this.#clocks.monotonicMs(), this.link.peek()));
    this.entries.value = [...this.#byKey.values()].sort((a, b) => a.rig.place - b.rig.place);
  }

  #live({ rigs }: StreamEvent<'live'>): void {
    for (const { site, rig, live } of rigs) {
      this.#byKey.get(`${site}/${rig}`)?.live(live, this.#clocks.monotonicMs(), this.#clocks.wallMs());
    }
  }

  #event({ site, rig, event }: StreamEvent<'event'>): void {
    const joint = this.#byKey.get(`${site}/${rig}`)?.view.peek().work?.joint;
    const changes = ['arcStop', 'passClosed', 'outOfRangeEnd', 'assigned', 'signalGap'].includes(event.type);
    if (joint !== undefined && changes) this.jointChanged(joint);
  }
}
