/** People with accounts on a test dashboard, signed in as a browser is. */
import type { Person } from '#core/messages/api';
import type { GivenCode, SessionState } from '#core/messages/api-account';
import { startTestDashboard, type TestDashboard, type TestDashboardOptions } from './test-dashboard.ts';

export const PASSPHRASE = 'seven grey herons wade';

export interface SignedInPerson {
  readonly person: Person;
  readonly cookie: string;
  readonly headers: { readonly cookie: string };
}

export interface AccountBench extends TestDashboard {
  /** Moves the clocks of sessions, codes and delays. */
  readonly pass: (ms: number) => void;
  /** Asks as nobody, or with the headers of a person. */
  readonly ask: (
    method: string,
    path: string,
    body?: unknown,
    headers?: Record<string, string>,
  ) => Promise<Response>;
  readonly setUp: () => Promise<SignedInPerson>;
  /** Somebody with these roles, let in by an administrator and signed in. */
  readonly enter: (
    signInName: string,
    roles: Person['roles'],
    by?: SignedInPerson,
  ) => Promise<SignedInPerson>;
}

/** A dashboard that is closed unless said otherwise. */
export async function startAccountBench(options: TestDashboardOptions = {}): Promise<AccountBench> {
  let passedMs = 0;
  const dashboard = await startTestDashboard({
    openReading: false,
    now: () => new Date(Date.parse('2026-05-12T06:00:00.000Z') + passedMs),
    monotonicMs: () => passedMs,
    ...options,
  });
  const ask: AccountBench['ask'] = (method, path, body, headers = {}) =>
    fetch(dashboard.url + path, {
      method,
      headers: {
        ...(method === 'GET' ? {} : { 'content-type': 'application/json', 'x-girthlog': '1' }),
        ...headers,
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
  const signedIn = async (response: Response): Promise<SignedInPerson> => {
    const state = (await response.json()) as SessionState;
    if (!state.person) throw new Error(`not signed in: ${JSON.stringify(state)}`);
    const cookie = cookieOf(response);
    return { person: state.person, cookie, headers: { cookie } };
  };
  let administrator: SignedInPerson | null = null;
  const setUp = async (): Promise<SignedInPerson> => {
    const { code } = dashboard.access.accounts.setUpCode('console');
    const body = { code, name: 'A. Keeper', signInName: 'keeper', roles: [], passphrase: PASSPHRASE };
    administrator = await signedIn(await ask('POST', '/api/v1/set-up', body));
    return administrator;
  };
  return {
    ...dashboard,
    pass: ms => {
      passedMs += ms;
    },
    ask,
    setUp,
    enter: async (signInName, roles, by) => {
      const keeper = by ?? administrator ?? (await setUp());
      const account = { person: null, name: `Person ${signInName}`, signInName, roles };
      const opened = await ask('POST', '/api/v1/accounts', account, { cookie: keeper.cookie });
      const { code } = (await opened.json()) as GivenCode;
      const first = { name: signInName, code, passphrase: PASSPHRASE };
      return signedIn(await ask('POST', '/api/v1/session/first-passphrase', first));
    },
  };
}

export const SIGN_IN = '/api/v1/session';

/** Who a browser with these headers is. */
export const stateOf = async (bench: AccountBench, headers = {}): Promise<SessionState> =>
  (await bench.ask('GET', SIGN_IN, undefined, headers)).json() as Promise<SessionState>;

export const tryIn = (bench: AccountBench, name: string, passphrase: string): Promise<Response> =>
  bench.ask('POST', SIGN_IN, { name, passphrase });

/** The cookie that an answer sets, as a browser sends it back. */
export function cookieOf(response: Response): string {
  const [set = ''] = response.headers.getSetCookie();
  return set.split(';')[0] ?? '';
}
