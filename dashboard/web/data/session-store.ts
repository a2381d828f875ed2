import { computed, type Signal, signal } from '@preact/signals';
import type { Right, SessionState } from '#core/messages/api-account';
import type { ApiClient } from './api-client.ts';
import {
  forgetPerson,
  type RememberedPerson,
  rememberedPerson,
  rememberPerson,
} from './remembered-person.ts';

/** The page says so this long before a session may only look, or ends, s. */
const WARN_S = 120;
/** Keys and touches are told to the server at most this often, ms. */
const SAID_EVERY_MS = 60_000;
/** How often the server is asked anyway, ms: another tab may have signed out. */
const ASK_EVERY_MS = 300_000;

export interface Warning {
  readonly what: 'idle' | 'end';
  readonly minutes: number;
}

export interface SessionStoreOptions {
  readonly api: ApiClient;
  readonly storage: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;
  readonly monotonicMs: () => number;
}

/** Who this browser is. Null until the server has said it, and where it cannot be asked. */
export class SessionStore {
  readonly state: Signal<SessionState | null> = signal(null);
  /** Sign in over the page, without leaving it. */
  readonly asks: Signal<boolean> = signal(false);
  /** Why a sign-in link did not do; null where none failed. */
  readonly linkFailure: Signal<string | null> = signal(null);
  readonly warning: Signal<Warning | null> = signal(null);
  readonly person = computed<RememberedPerson | null>(() => this.state.value?.person ?? null);
  /** Told whenever who this is has changed. */
  onPerson: (person: RememberedPerson | null) => void = () => {};
  /** Told when somebody signed out, or somebody else is here now: `open` where what they typed is on the screen. */
  onLeft: (open: boolean) => void = () => {};
  readonly #options: SessionStoreOptions;
  #askedMs = Number.NEGATIVE_INFINITY;
  #saidMs = Number.NEGATIVE_INFINITY;
  #acted = false;
  /** There was a session in this page: what is typed in it is kept. */
  #hadSession = false;
  readonly #waiting: ((signedIn: boolean) => void)[] = [];

  constructor(options: SessionStoreOptions) {
    this.#options = options;
    options.api.signInAgain = () => this.signInAgain();
  }

  /** Somebody was signed in here and did not sign out. */
  get hadSession(): boolean {
    return this.#hadSession;
  }

  may(right: Right): boolean {
    return this.state.value?.rights.includes(right) ?? false;
  }

  /** What stands in the place of every view; null where the page goes on. */
  readonly gate = computed<'setUp' | 'signIn' | null>(() => {
    const state = this.state.value?.state;
    if (state === 'setUp') return this.state.value?.openReading ? null : 'setUp';
    return state === 'signedOut' && !this.#hadSession ? 'signIn' : null;
  });

  /** The server is there and shows nothing, because nobody is signed in. */
  readonly isOut = computed(() => {
    const state = this.state.value;
    return state !== null && !state.rights.includes('read');
  });

  async refresh(): Promise<void> {
    this.#askedMs = this.#options.monotonicMs();
    try {
      this.take(await this.#options.api.get<SessionState>(['session']));
    } catch {
      // It cannot be asked: who was here last goes on filling in what is open.
    }
  }

  signIn = (name: string, passphrase: string): Promise<void> =>
    this.#enter(['session'], { name, passphrase });
  /** By the link the page was opened with. */
  async byLink(code: string): Promise<boolean> {
    try {
      await this.#enter(['session', 'link'], { code });
      return true;
    } catch (error) {
      this.linkFailure.value = error instanceof Error ? error.message : '';
      return false;
    }
  }

  firstPassphrase = (body: object): Promise<void> => this.#enter(['session', 'first-passphrase'], body);
  setUp = (body: object): Promise<void> => this.#enter(['set-up'], body);

  async signOut(): Promise<void> {
    let state: SessionState;
    try {
      state = await this.#options.api.ask<SessionState>(['session'], { method: 'DELETE' });
    } catch {
      // Out of reach: still signed in there, and shown so.
      return;
    }
    this.#hadSession = false;
    forgetPerson(this.#options.storage);
    this.take(state);
    this.onLeft(true);
  }

  /** Resolves when somebody has signed in over the page, or has said not now. */
  signInAgain(): Promise<boolean> {
    this.asks.value = true;
    return new Promise(resolve => this.#waiting.push(resolve));
  }

  dismiss(): void {
    this.#answer(false);
  }

  /** Somebody touched this screen. */
  acted(): void {
    this.#acted = true;
  }

  /** Says that somebody is here, at once. */
  async stay(): Promise<void> {
    this.#saidMs = this.#options.monotonicMs();
    this.#acted = false;
    try {
      this.take(await this.#options.api.post<SessionState>(['session', 'here'], {}));
    } catch {
      await this.refresh();
    }
  }

  /** Looks at what is due; called a few times a second. */
  tick(): void {
    const state = this.state.peek();
    if (state === null) return;
    const now = this.#options.monotonicMs();
    const passedS = (now - this.#askedMs) / 1000;
    const rest = (s: number | null): number => (s === null ? Number.POSITIVE_INFINITY : s - passedS);
    const idleS = rest(state.idleInS);
    const endS = rest(state.endsInS);
    const isDue = idleS <= 0 || endS <= 0 || now - this.#askedMs > ASK_EVERY_MS;
    if (state.state === 'signedIn' && this.#acted && now - this.#saidMs > SAID_EVERY_MS) void this.stay();
    else if (isDue && now - this.#askedMs > 2000) void this.refresh();
    const soonest = Math.min(idleS, endS);
    const warning: Warning | null =
      soonest > WARN_S || soonest <= 0
        ? null
        : { what: endS <= idleS ? 'end' : 'idle', minutes: Math.ceil(soonest / 60) };
    const shown = this.warning.peek();
    if (shown?.what !== warning?.what || shown?.minutes !== warning?.minutes) this.warning.value = warning;
  }

  take(state: SessionState): void {
    const before = this.state.peek();
    this.#askedMs = this.#options.monotonicMs();
    if (state.person) {
      const last = rememberedPerson(this.#options.storage);
      if (last !== null && last.id !== state.person.id) this.onLeft(this.#hadSession);
      this.#hadSession = true;
      rememberPerson(this.#options.storage, state.person);
    }
    // Signed in meanwhile in another tab, or by a link.
    if (state.state === 'signedIn' && this.asks.peek() && this.#waiting.length > 0) this.#answer(true);
    const isOver = before?.person != null && state.person === null && this.#hadSession;
    this.state.value = state;
    if (before?.person?.id !== state.person?.id) this.onPerson(state.person);
    if (isOver && !state.rights.includes('read')) this.asks.value = true;
  }

  async #enter(parts: readonly string[], body: object): Promise<void> {
    this.take(await this.#options.api.post<SessionState>(parts, body));
    this.#answer(true);
  }

  #answer(signedIn: boolean): void {
    this.asks.value = false;
    for (const resolve of this.#waiting.splice(0)) resolve(signedIn);
  }
}
