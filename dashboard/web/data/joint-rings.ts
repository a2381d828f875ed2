import { type Signal, signal } from '@preact/signals';
import type { JointRing } from '#core/messages/api';

/** While a joint is on screen its stored ring is read again at least this often, ms. */
const AGAIN_MS = 10_000;
const SOON_MS = 400;

interface Followed {
  readonly ring: Signal<JointRing | null>;
  readAtMs: number;
  dueMs: number;
  busy: boolean;
}

/** What the store has of each joint on screen, read again when something happened to it. */
export class JointRings {
  readonly #followed = new Map<string, Followed>();
  readonly #read: (joint: string) => Promise<JointRing>;
  readonly #nowMs: () => number;

  constructor(read: (joint: string) => Promise<JointRing>, nowMs: () => number) {
    this.#read = read;
    this.#nowMs = nowMs;
  }

  ringOf(joint: string): Signal<JointRing | null> {
    return this.#follow(joint).ring;
  }

  changed(joint: string): void {
    const followed = this.#followed.get(joint);
    if (followed !== undefined) followed.dueMs = Math.min(followed.dueMs, this.#nowMs() + SOON_MS);
  }

  /** Reads what is due of the joints on screen and lets go of the others. */
  tick(onScreen: ReadonlySet<string>): void {
    for (const joint of onScreen) this.#follow(joint);
    for (const [joint, followed] of this.#followed) {
      if (!onScreen.has(joint)) this.#followed.delete(joint);
      else if (!followed.busy && this.#nowMs() >= followed.dueMs) void this.#refresh(joint, followed);
    }
  }

  #follow(joint: string): Followed {
    const known = this.#followed.get(joint);
    if (known !== undefined) return known;
    const made: Followed = { ring: signal(null), readAtMs: 0, dueMs: this.#nowMs(), busy: false };
    this.#followed.set(joint, made);
    return made;
  }

  async #refresh(joint: string, followed: Followed): Promise<void> {
    followed.busy = true;
    followed.dueMs = this.#nowMs() + AGAIN_MS;
    try {
      followed.ring.value = await this.#read(joint);
    } catch {
      // Not stored yet, or out of reach: the ring then shows what is live, and the next reading is already due.
    } finally {
      followed.busy = false;
    }
  }
}
