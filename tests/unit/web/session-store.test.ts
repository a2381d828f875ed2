import { describe, expect, it } from 'vitest';
import type { SessionState } from '#core/messages/api-account';
import { ApiClient } from '../../../dashboard/web/data/api-client.ts';
import { SessionStore } from '../../../dashboard/web/data/session-store.ts';

const person = { id: 'p-1', name: 'A. Setter', roles: ['weldSetter' as const] };
const SIGNED_IN: SessionState = {
  ...{ state: 'signedIn', person, signInName: 'setter', rights: ['read', 'enter'] },
  ...{ idleInS: 1800, endsInS: 43_200, openReading: false, demo: false },
};
const OUT: SessionState = {
  ...{ state: 'signedOut', person: null, signInName: null, rights: [] },
  ...{ idleInS: null, endsInS: null, openReading: false, demo: false },
};

interface Sent {
  readonly method: string;
  readonly path: string;
}

function bench(answers: Record<string, () => readonly [number, unknown]>) {
  const sent: Sent[] = [];
  const kept = new Map<string, string>();
  const fetch = (async (path: string, init: RequestInit = {}) => {
    const method = init.method ?? 'GET';
    sent.push({ method, path });
    const [status, body] = answers[`${method} ${path}`]?.() ?? [404, null];
    return new Response(JSON.stringify(body), { status });
  }) as typeof globalThis.fetch;
  const api = new ApiClient(fetch);
  const clock = { ms: 0 };
  const storage = {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => void kept.set(key, value),
    removeItem: (key: string) => void kept.delete(key),
  };
  const session = new SessionStore({ api, storage, monotonicMs: () => clock.ms });
  return { session, api, sent, clock, kept };
}

describe('the session of a page', () => {
  it('is unknown where the server cannot be asked: who was here last goes on', async () => {
    const { session, kept } = bench({});
    kept.set('girthlog.person', '{"id":"p-1","name":"A. Setter"}');
    await session.refresh();
    expect(session.state.value).toBeNull();
    expect(session.gate.value).toBeNull();
    expect(kept.size).toBe(1);
  });

  it('sends what was entered again once somebody has signed in over the page', async () => {
    let signedIn = false;
    const { session, api, sent } = bench({
      'POST /api/v1/entries': () =>
        signedIn ? [201, { id: 'e-1' }] : [401, { code: 'signInAgain', detail: 'x' }],
      'POST /api/v1/session': () => {
        signedIn = true;
        return [201, SIGNED_IN];
      },
    });
    const entered = api.post(['entries'], { typed: 'text' });
    await Promise.resolve();
    while (!session.asks.value) await new Promise(resolve => setImmediate(resolve));
    await session.signIn('setter', 'a passphrase');
    expect(await entered).toEqual({ id: 'e-1' });
    expect(session.asks.value).toBe(false);
    expect(sent.map(({ path }) => path)).toEqual(['/api/v1/entries', '/api/v1/session', '/api/v1/entries']);
  });

  it('fails with the server’s sentence where the person says not now', async () => {
    const { session, api } = bench({
      'POST /api/v1/entries': () => [401, { code: 'signInNeeded', detail: 'Sign in to do this.' }],
    });
    const entered = api.post(['entries'], {}).catch((error: Error) => error.message);
    while (!session.asks.value) await new Promise(resolve => setImmediate(resolve));
    session.dismiss();
    expect(await entered).toBe('Sign in to do this.');
  });

  it('warns two minutes before it may only look, and before it ends', () => {
    const { session, clock } = bench({});
    session.take({ ...SIGNED_IN, idleInS: 300 });
    clock.ms = 179_000;
    session.tick();
    expect(session.warning.value).toBeNull();
    clock.ms = 181_000;
    session.tick();
    expect(session.warning.value).toEqual({ what: 'idle', minutes: 2 });
    session.take({ ...SIGNED_IN, endsInS: 50 });
    session.tick();
    expect(session.warning.value).toEqual({ what: 'end', minutes: 1 });
  });

  it('tells the server that somebody is here at most once a minute, and only when somebody is', async () => {
    const { session, sent, clock } = bench({ 'POST /api/v1/session/here': () => [201, SIGNED_IN] });
    session.take(SIGNED_IN);
    for (let n = 0; n < 100; n++) {
      clock.ms += 1000;
      session.acted();
      session.tick();
      await new Promise(resolve => setImmediate(resolve));
    }
    expect(sent).toHaveLength(2);
    // What was done since is said once more; then nobody did anything.
    for (let n = 0; n < 3; n++) {
      clock.ms += 61_000;
      session.tick();
      await new Promise(resolve => setImmediate(resolve));
    }
    expect(sent).toHaveLength(3);
  });

  it('goes on where somebody signed in meanwhile in another tab', async () => {
    const { session } = bench({});
    session.take({ ...OUT, state: 'reading', rights: ['read'] });
    expect(session.hadSession).toBe(false);
    const asked = session.signInAgain();
    session.take({ ...OUT, state: 'reading', rights: ['read'] });
    expect(session.asks.value).toBe(true);
    session.take(SIGNED_IN);
    expect(await asked).toBe(true);
    expect(session.asks.value).toBe(false);
    expect(session.hadSession).toBe(true);
  });

  it('says that the one before has left when they sign out, or somebody else signs in', async () => {
    const { session } = bench({ 'DELETE /api/v1/session': () => [200, OUT] });
    const left: boolean[] = [];
    session.onLeft = open => left.push(open);
    session.take(SIGNED_IN);
    session.take(OUT);
    session.take(SIGNED_IN);
    expect(left).toEqual([]);
    session.take({ ...SIGNED_IN, person: { ...person, id: 'p-2' } });
    expect(left).toEqual([true]);
    await session.signOut();
    expect(left).toEqual([true, true]);
    session.take(SIGNED_IN);
    expect(left).toHaveLength(2);
  });

  it('asks over the page where it ended, and in its place where there was none', () => {
    const before = bench({});
    before.session.take(SIGNED_IN);
    before.session.take(OUT);
    expect(before.session.asks.value).toBe(true);
    expect(before.session.gate.value).toBeNull();
    const fresh = bench({});
    fresh.session.take(OUT);
    expect(fresh.session.gate.value).toBe('signIn');
    expect(fresh.session.asks.value).toBe(false);
  });
});
