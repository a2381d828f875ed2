import { describe, expect, it } from 'vitest';
import { IDLE_MS, Sessions, WHOLE_MS } from '../../../dashboard/server/auth/sessions.ts';
import type { SessionTable, StoredSession } from '../../../dashboard/server/store/session-table.ts';

const FROM = { address: '127.0.0.1', device: 'a browser' };
const START = Date.parse('2026-05-12T06:00:00.000Z');

/** A table in memory that outlives the sessions made on it, as the file outlives the program. */
function bench() {
  const rows: StoredSession[] = [];
  const clock = { wallMs: START, monotonicMs: 0 };
  let full = false;
  const guard = (): void => {
    if (full) throw new Error('no room');
  };
  const table = {
    add: (row: StoredSession) => void rows.push(row),
    all: () => [...rows],
    acted: (id: string, at: string) => {
      guard();
      const n = rows.findIndex(row => row.id === id);
      rows[n] = { ...rows[n]!, actedAt: at };
    },
    drop: (id: string) => {
      guard();
      const n = rows.findIndex(row => row.id === id);
      if (n >= 0) rows.splice(n, 1);
    },
  } as unknown as SessionTable;
  let ids = 0;
  const start = (): Sessions => {
    const zero = clock.monotonicMs;
    return new Sessions({
      table,
      now: () => new Date(clock.wallMs),
      // Of each start of the program: from 0 again.
      monotonicMs: () => clock.monotonicMs - zero,
      newId: () => `s-${++ids}`,
    });
  };
  const fill = (is: boolean): void => {
    full = is;
  };
  const pass = (ms: number): void => {
    clock.wallMs += ms;
    clock.monotonicMs += ms;
  };
  return { rows, clock, start, pass, fill };
}

describe('a session', () => {
  it('has a token of 256 bits that is kept nowhere', () => {
    const { rows, start } = bench();
    const { token, session } = start().begin('p-1', 'passphrase', FROM);
    expect(Buffer.from(token, 'base64url')).toHaveLength(32);
    expect(JSON.stringify(rows)).not.toContain(token);
    expect(session.stored.tokenHash).toMatch(/^[0-9a-f]{64}$/);
  });

  it('outlives a restart, for what is left of its time', () => {
    const { start, pass } = bench();
    const first = start();
    const { token, session } = first.begin('p-1', 'passphrase', FROM);
    pass(20 * 60_000);
    first.acted(session);
    pass(20 * 60_000);
    const again = start();
    const found = again.find(token)!;
    expect(again.isIdle(found)).toBe(false);
    pass(10 * 60_000);
    expect(again.isIdle(found)).toBe(true);
    pass(WHOLE_MS);
    expect(start().find(token)).toBeNull();
  });

  it('is prolonged by no wall clock that is set back', () => {
    const { clock, start, pass } = bench();
    const sessions = start();
    const { token, session } = sessions.begin('p-1', 'passphrase', FROM);
    clock.wallMs -= 10 * 3_600_000;
    pass(IDLE_MS);
    expect(sessions.isIdle(session)).toBe(true);
    pass(WHOLE_MS);
    expect(sessions.find(token)).toBeNull();
    // Nor at a restart: what is left is never more than the whole.
    const { token: other } = sessions.begin('p-1', 'passphrase', FROM);
    clock.wallMs -= 100 * 3_600_000;
    const again = start();
    expect(again.endsInS(again.find(other)!)).toBeLessThanOrEqual(WHOLE_MS / 1000);
    expect(again.idleInS(again.find(other)!)).toBeLessThanOrEqual(IDLE_MS / 1000);
  });

  it('ends what follows it, once, also when its time is over on a full disk', () => {
    const { start, pass, fill } = bench();
    const sessions = start();
    const ended: string[] = [];
    const one = sessions.begin('p-1', 'passphrase', FROM).session.stored.id;
    const two = sessions.begin('p-1', 'link', FROM).session.stored.id;
    sessions.follow(one, () => ended.push('one'));
    const unfollow = sessions.follow(two, () => ended.push('two'));
    unfollow();
    expect(sessions.endAllOf('p-1', one)).toBe(1);
    expect(ended).toEqual([]);
    fill(true);
    pass(WHOLE_MS);
    sessions.sweep();
    sessions.sweep();
    expect(ended).toEqual(['one']);
    expect(sessions.of('p-1')).toEqual([]);
  });

  it('tells the store at most once a minute that it is in use, and goes on where the store has no room', () => {
    const { rows, start, pass, fill } = bench();
    const sessions = start();
    const { session } = sessions.begin('p-1', 'passphrase', FROM);
    const began = rows[0]!.actedAt;
    pass(30_000);
    sessions.acted(session);
    expect(rows[0]!.actedAt).toBe(began);
    pass(31_000);
    sessions.acted(session);
    expect(rows[0]!.actedAt).not.toBe(began);
    fill(true);
    pass(61_000);
    sessions.acted(session);
    expect(sessions.isIdle(session)).toBe(false);
  });
});
