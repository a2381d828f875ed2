import { type Signal, signal } from '@preact/signals';

/** A new build may come at any time; a page that stays open for a shift asks this often, ms. */
const ASK_MS = 900_000;

type Workers = Pick<ServiceWorkerContainer, 'register' | 'controller' | 'ready' | 'addEventListener'>;

/**
 * Keeps this page on the device, so that it opens without a network. `state` says whether it is kept; `newer` that
 * the server has another build and its worker has taken over: what is open is then the old page.
 */
export class OfflineShell {
  readonly state: Signal<'none' | 'keeping' | 'kept'> = signal('none');
  readonly newer: Signal<boolean> = signal(false);
  readonly #workers: Workers | undefined;
  #registration: ServiceWorkerRegistration | null = null;

  /** `workers` is undefined where the browser has none: on plain http, except on this computer. */
  constructor(workers: Workers | undefined) {
    this.#workers = workers;
  }

  async start(): Promise<void> {
    const workers = this.#workers;
    if (workers === undefined) return;
    this.state.value = 'keeping';
    // The first worker of a page that had none is of the same build as the page.
    let first = workers.controller === null;
    workers.addEventListener('controllerchange', () => {
      if (!first) this.newer.value = true;
      first = false;
    });
    try {
      this.#registration = await workers.register('/service-worker.js');
      await workers.ready;
      this.state.value = 'kept';
      setInterval(() => void this.ask(), ASK_MS);
    } catch {
      // No worker from this server, or none allowed by this browser: the page works, it is just not kept.
      this.state.value = 'none';
    }
  }

  /** Asks whether the server has another build; called whenever the server is back. */
  async ask(): Promise<void> {
    await this.#registration?.update().catch(() => undefined);
  }
}
