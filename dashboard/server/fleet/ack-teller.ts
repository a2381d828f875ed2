/**
 * Tells the edges what is committed. Of each stream at most one acknowledgement is on its way to the broker; the newest
 * state waits behind it, those between are never sent: a broker that confirms slowly holds nobody up.
 */
import type { StreamState } from '../store/store.ts';

export interface AckTellerOptions {
  /** False where there is no connection; `done` when the broker has confirmed, or it was given up. */
  readonly publish: (state: StreamState, done: () => void) => boolean;
}

export class AckTeller {
  private readonly options: AckTellerOptions;
  private readonly owed = new Map<string, StreamState>();
  private flying = new Set<string>();

  constructor(options: AckTellerOptions) {
    this.options = options;
  }

  tell(state: StreamState): void {
    const key = `${state.site}/${state.rig}/${state.stream}`;
    this.owed.set(key, state);
    this.send(key);
  }

  /** A new connection: whether the broker has what was on its way is unknown, so what is owed goes out now. */
  connected(): void {
    this.flying = new Set();
    for (const key of this.owed.keys()) this.send(key);
  }

  private send(key: string): void {
    const { flying } = this;
    const state = this.owed.get(key);
    if (!state || flying.has(key)) return;
    const done = (): void => {
      // One of an earlier connection.
      if (flying !== this.flying) return;
      flying.delete(key);
      this.send(key);
    };
    if (!this.options.publish(state, done)) return;
    this.owed.delete(key);
    flying.add(key);
  }
}
