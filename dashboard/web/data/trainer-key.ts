import { type Signal, signal } from '@preact/signals';
import { TRAINER_HEADER } from '#core/training/names';
import { TRAINER_PATH, trainerKeyIn } from '#core/training/trainer-link';

const KEPT = 'girthlog.training.key';

type Tab = Pick<Window, 'location' | 'history' | 'sessionStorage'>;

/** The trainer's key, in this tab only: taken from the link and out of the address, gone when the tab is closed. */
export class TrainerKey {
  readonly held: Signal<string | null>;
  readonly #tab: Tab;

  constructor(tab: Tab) {
    this.#tab = tab;
    this.held = signal(this.#kept());
  }

  /** True when there was one in the address. */
  take(): boolean {
    const key = trainerKeyIn(this.#tab.location.hash);
    if (key === null) return false;
    this.held.value = key;
    try {
      this.#tab.sessionStorage.setItem(KEPT, key);
    } catch {
      // Storage is switched off in this browser: the key is held until the page is left.
    }
    this.#tab.history.replaceState(null, '', TRAINER_PATH);
    return true;
  }

  drop(): void {
    this.held.value = null;
    try {
      this.#tab.sessionStorage.removeItem(KEPT);
    } catch {
      // Then it was never kept.
    }
  }

  headers(): Record<string, string> {
    const key = this.held.peek();
    return key === null ? {} : { [TRAINER_HEADER]: key };
  }

  #kept(): string | null {
    try {
      return this.#tab.sessionStorage.getItem(KEPT);
    } catch {
      return null;
    }
  }
}
