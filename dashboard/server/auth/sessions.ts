/**
 * Sessions: opaque tokens, kept hashed. Half an hour after the last thing that was done with it a session may only
 * read: who watches a screen need not touch it, and nobody enters anything at a screen that was left. Twelve hours
 * after it began it ends. Reading is not doing: only requests that enter something, or say that somebody is there,
 * count. Counted on the monotonic clock, so that a wall clock set back prolongs nothing.
 */
import { randomBytes } from 'node:crypto';
import { sha256Hex } from '../seal/ed25519.ts';
import type { SessionTable, StoredSession } from '../store/session-table.ts';

export const IDLE_MS = 30 * 60_000;
export const WHOLE_MS = 12 * 3_600_000;
/** How often the store is told that a session is in use. */
const NOTED_EVERY_MS = 60_000;
const TOKEN_BYTES = 32;

export interface LiveSession {
  readonly stored: StoredSession;
  idleAtMs: number;
  readonly endsAtMs: number;
  notedMs: number;
}

export interface SessionsOptions {
  readonly table: SessionTable;
  readonly now: () => Date;
  readonly monotonicMs: () => number;
  readonly newId: () => string;
}

export class Sessions {
  private readonly options: SessionsOptions;
  private readonly byToken = new Map<string, LiveSession>();
  /** What is to be ended with a session, such as an open stream. */
  private readonly followers = new Map<string, Set<() => void>>();

  constructor(options: SessionsOptions) {
    this.options = options;
    const { table, now, monotonicMs } = options;
    const at = now().getTime();
    for (const stored of table.all()) {
      const restMs = Math.min(WHOLE_MS, Date.parse(stored.endsAt) - at);
      const idleMs = Math.min(IDLE_MS, Date.parse(stored.actedAt) + IDLE_MS - at);
      if (restMs <= 0) table.drop(stored.id);
      else {
        const base = monotonicMs();
        this.byToken.set(stored.tokenHash, {
          stored,
          idleAtMs: base + idleMs,
          endsAtMs: base + restMs,
          notedMs: base,
        });
      }
    }
  }

  /** A new session; its token is in nobody's hands but the asker's. */
  begin(
    personId: string,
    how: StoredSession['how'],
    from: { readonly address: string; readonly device: string },
  ): { readonly token: string; readonly session: LiveSession } {
    const { table, now, monotonicMs, newId } = this.options;
    const token = randomBytes(TOKEN_BYTES).toString('base64url');
    const startedAt = now().toISOString();
    const stored: StoredSession = {
      tokenHash: hashOf(token),
      id: newId(),
      personId,
      how,
      ...from,
      startedAt,
      actedAt: startedAt,
      endsAt: new Date(now().getTime() + WHOLE_MS).toISOString(),
    };
    table.add(stored);
    const at = monotonicMs();
    const session = { stored, idleAtMs: at + IDLE_MS, endsAtMs: at + WHOLE_MS, notedMs: at };
    this.byToken.set(stored.tokenHash, session);
    return { token, session };
  }

  /** Null where there is none or it is over. */
  find(token: string): LiveSession | null {
    const session = this.byToken.get(hashOf(token));
    if (!session) return null;
    if (session.endsAtMs > this.options.monotonicMs()) return session;
    this.sweep();
    return null;
  }

  isIdle(session: LiveSession): boolean {
    return session.idleAtMs <= this.options.monotonicMs();
  }

  idleInS(session: LiveSession): number | null {
    const restMs = session.idleAtMs - this.options.monotonicMs();
    return restMs > 0 ? restMs / 1000 : null;
  }

  endsInS(session: LiveSession): number {
    return Math.max(0, (session.endsAtMs - this.options.monotonicMs()) / 1000);
  }

  /** Somebody did something with it. One that is idle stays so: its person signs in again. */
  acted(session: LiveSession): void {
    const { table, now, monotonicMs } = this.options;
    const at = monotonicMs();
    if (session.idleAtMs <= at) return;
    session.idleAtMs = at + IDLE_MS;
    if (at - session.notedMs < NOTED_EVERY_MS) return;
    session.notedMs = at;
    try {
      table.acted(session.stored.id, now().toISOString());
    } catch {
      // A full disk: after a restart it is idle sooner than it would be.
    }
  }

  all(): readonly LiveSession[] {
    this.sweep();
    return [...this.byToken.values()];
  }

  of(personId: string): readonly LiveSession[] {
    return this.all().filter(({ stored }) => stored.personId === personId);
  }

  byId(id: string): LiveSession | null {
    return this.all().find(({ stored }) => stored.id === id) ?? null;
  }

  /** At once; throws where the store cannot be told that it stays ended. */
  end(id: string): void {
    this.forget(id);
    this.options.table.drop(id);
  }

  private forget(id: string): void {
    for (const [hash, { stored }] of this.byToken) if (stored.id === id) this.byToken.delete(hash);
    const followers = [...(this.followers.get(id) ?? [])];
    this.followers.delete(id);
    for (const ended of followers) ended();
  }

  endAllOf(personId: string, but: string | null = null): number {
    const ids = this.of(personId).flatMap(({ stored: { id } }) => (id === but ? [] : [id]));
    for (const id of ids) this.end(id);
    return ids.length;
  }

  /** `ended` is called once, when the session ends. Returns what stops following. */
  follow(id: string, ended: () => void): () => void {
    const followers = this.followers.get(id) ?? new Set();
    this.followers.set(id, followers);
    followers.add(ended);
    return () => {
      followers.delete(ended);
      if (followers.size === 0) this.followers.delete(id);
    };
  }

  /** Ends those whose time is over. */
  sweep(): void {
    const at = this.options.monotonicMs();
    for (const { stored, endsAtMs } of [...this.byToken.values()]) {
      if (endsAtMs > at) continue;
      this.forget(stored.id);
      try {
        this.options.table.drop(stored.id);
      } catch {
        // A full disk: its time is written beside it, so it stays over.
      }
    }
  }
}

const hashOf = (token: string): string => sha256Hex(`girthlog session ${token}`);
