import { type Signal, signal } from '@preact/signals';
import type { StreamEvent } from '#core/messages/api';
import type { NewMark, SessionView, Training } from '#core/messages/api-training';
import type { ApiClient } from './api-client.ts';
import { ApiError } from './api-client.ts';
import type { TrainerKey } from './trainer-key.ts';

const LAST = 'girthlog.training.last';

/** What was kept of "Something is wrong here". */
export type KeptMark = Pick<NewMark, 'rig' | 'side' | 'channel' | 'action'> & { readonly atMs: number };

/**
 * Training as this page sees it: whether there is any, the session that runs (or the last one that ran here), and the
 * trainer's requests. Without the trainer's key the server tells no truth before the debrief.
 */
export class TrainingStore {
  /** Null until it is known. */
  readonly overview: Signal<Training | null> = signal(null);
  readonly session: Signal<SessionView | null> = signal(null);
  /** Why it could not be read; null where it could. */
  readonly failure: Signal<string | null> = signal(null);
  readonly kept: Signal<KeptMark | null> = signal(null);
  readonly key: TrainerKey;
  readonly #api: ApiClient;
  readonly #storage: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;
  #last: string | null;
  #reading: Promise<void> | null = null;
  #again = false;

  constructor(api: ApiClient, key: TrainerKey, storage: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>) {
    this.#api = api;
    this.key = key;
    this.#storage = storage;
    try {
      this.#last = storage.getItem(LAST);
    } catch {
      this.#last = null;
    }
  }

  /** This dashboard is set up for training. */
  get isOn(): boolean {
    return this.overview.value?.mode === 'training';
  }

  onEvent(name: string, data: unknown): void {
    if (name !== 'training') return;
    const { id, state } = data as StreamEvent<'training'>;
    if (state === 'deleted') this.#forget(id);
    else this.#remember(id);
    void this.refresh();
  }

  /** Reads what is so now; what is asked for meanwhile is read once more after it. */
  refresh = async (): Promise<void> => {
    this.#again = true;
    this.#reading ??= this.#readAll().finally(() => {
      this.#reading = null;
    });
    await this.#reading;
  };

  /** A request about training with the trainer's key, where this tab holds it. Failures are ApiErrors. */
  ask = <T>(
    parts: readonly string[],
    request: { readonly body?: unknown; readonly method?: 'DELETE' } = {},
  ): Promise<T> => this.#api.ask(['training', ...parts], { ...request, headers: this.key.headers() });

  /** The trainer does something with the session that is open; what comes of it is shown at once. */
  steer = async (step: string, body: unknown = {}): Promise<void> => {
    const id = this.session.peek()?.id;
    if (id === undefined) return;
    this.session.value = await this.ask<SessionView>(['sessions', id, step], { body });
    await this.refresh();
  };

  open = async (body: unknown): Promise<void> => {
    const session = await this.ask<SessionView>(['sessions'], { body });
    this.#remember(session.id);
    this.session.value = session;
    await this.refresh();
  };

  mark = async (mark: NewMark, atMs: number): Promise<void> => {
    const id = this.session.peek()?.id;
    if (id === undefined) return;
    this.session.value = await this.ask<SessionView>(['sessions', id, 'marks'], { body: mark });
    const { rig, side, channel, action } = mark;
    this.kept.value = { rig, side, channel, action, atMs };
  };

  async #readAll(): Promise<void> {
    while (this.#again) {
      this.#again = false;
      try {
        const overview = await this.ask<Training>([]);
        this.overview.value = overview;
        const open = overview.session?.id ?? null;
        if (open !== null) this.#remember(open);
        await this.#readSession(open ?? this.#last);
        this.failure.value = null;
      } catch (error) {
        this.failure.value = error instanceof Error ? error.message : '';
      }
    }
  }

  async #readSession(id: string | null): Promise<void> {
    if (id === null) {
      this.session.value = null;
      return;
    }
    try {
      this.session.value = await this.ask<SessionView>(['sessions', id]);
    } catch (error) {
      const code = error instanceof ApiError ? error.problem?.code : undefined;
      if (code !== 'sessionUnknown') throw error;
      this.#forget(id);
      this.session.value = null;
    }
  }

  #remember(id: string): void {
    this.#last = id;
    try {
      this.#storage.setItem(LAST, id);
    } catch {
      // Storage is switched off in this browser: after a reload the last session is not offered again.
    }
  }

  #forget(id: string): void {
    if (this.#last !== id) return;
    this.#last = null;
    try {
      this.#storage.removeItem(LAST);
    } catch {
      // Then it was never kept.
    }
  }
}
