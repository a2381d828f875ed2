import { type Signal, signal } from '@preact/signals';

/** A new build may come at any time; a page that stays open for a shift asks this often, ms. */
const ASK_MS = 900_000;
/** A link that comes and goes must not ask each time: asking over and over keeps the browser from ever answering. */
const LEAST_MS = 30_000;

type Workers = Pick<ServiceWorkerContainer, 'register' | 'controller' | 'ready' | 'addEventListener'>;

/**
 * Keeps this page on the device, so that it opens without a network. `state` says whether it is kept; `newer` that
 * the server has another build and its worker has taken over: what is open is then the old page.
 */
export class OfflineShell {
  readonly state: Signal<'none' | 'keeping' | 'kept'> = signal('none');
  readonly newer: Signal<boolean> = signal(false);
  readonly #workers: Workers | undefined;
  readonly #nowMs: () => number;
  #registration: ServiceWorkerRegistration | null = null;
  #askedMs = Number.NEGATIVE_INFINITY;

  /** `workers` is undefined where the browser has none: on plain http, except on this computer. */
  constructor(workers: Workers | undefined, nowMs: () => number) {
    this.#workers = workers;
    this.#nowMs = nowMs;
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
      const registration = (await workers.register('/service-worker.js')) as
        | ServiceWorkerRegistration
        | undefined;
      // A browser told to block workers may answer with nothing at all.
      if (registration === undefined) throw new Error('no worker');
      this.#registration = registration;
      await workers.ready;
      this.state.value = 'kept';
      // Not left to the browser, which looks when it finds the time.
      void this.ask();
      setInterval(() => void this.ask(), ASK_MS);
    } catch {
      // No worker from this server, or none allowed by this browser: the page works, it is just not kept.
      this.state.value = 'none';
    }
  }

  /** Asks whether the server has another build; called whenever the server is back. */
  async ask(): Promise<void> {
    if (this.#registration === null || this.#nowMs() - this.#askedMs < LEAST_MS) return;
    this.#askedMs = this.#nowMs();
    await this.#registration.update().catch(() => undefined);
  }
}
