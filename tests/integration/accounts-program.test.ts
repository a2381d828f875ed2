/** Accounts of the programs themselves: the code on the console, the command beside a running dashboard, the demo's link. */
import { readFileSync } from 'node:fs';
import { request } from 'node:https';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { SessionState } from '#core/messages/api-account';
import { PROGRAM_RIGHTS_ENV, PROGRAM_TOKEN_ENV } from '#core/program/program-token';
import { PASSPHRASE } from '../support/accounts.ts';
import { type RunningProgram, startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

const CODE = /Set-up code ([0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}) : /;

const run = (data: string, ...more: string[]): RunningProgram =>
  startProgram('girthlog-dashboard', [
    'run',
    ...['--data', data, '--http', '127.0.0.1:0', '--mqtt', '127.0.0.1:0', '--json', ...more],
  ]);

async function ready(program: RunningProgram): Promise<string> {
  const line = await waitUntil(
    () => (program.stdout().includes('\n') ? program.stdout() : null),
    () => `the dashboard to be ready; it says: ${program.stderr()}`,
  );
  return (JSON.parse(line) as { http: string }).http;
}

const setUp = (http: string, code: string, signInName: string): Promise<Response> =>
  fetch(`${http}/api/v1/set-up`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', 'x-girthlog': '1' },
    body: JSON.stringify({ code, name: 'A. Keeper', signInName, roles: [], passphrase: PASSPHRASE }),
  });

describe('a dashboard without an administrator', () => {
  it('prints a code at its console, a new one at each start, none once there is one; the command makes another', async () => {
    const data = join(tempDir(), 'data');
    const first = run(data);
    await ready(first);
    const old = await waitUntil(
      () => CODE.exec(first.stderr())?.[1] ?? null,
      () => `a set-up code; it says: ${first.stderr()}`,
    );
    expect(await first.stop()).toBe(0);
    const second = run(data);
    const http = await ready(second);
    const code = await waitUntil(
      () => CODE.exec(second.stderr())?.[1] ?? null,
      () => `a set-up code; it says: ${second.stderr()}`,
    );
    expect((await setUp(http, old, 'keeper')).status).toBe(401);
    expect((await setUp(http, code, 'keeper')).status).toBe(201);
    expect((await fetch(`${http}/api/v1/rigs`)).status).toBe(401);
    // All administrators may be lost: whoever is at the computer makes another one.
    const command = startProgram('girthlog-dashboard', ['setup-code', '--data', data]);
    expect(await command.exited).toBe(0);
    const more = CODE.exec(command.stdout())![1]!;
    expect((await setUp(http, more, 'keeper-2')).status).toBe(201);
    // The log holds no code.
    const log = second.stderr().replaceAll(/^Set-up code .*$/gm, '');
    for (const secret of [code, more, PASSPHRASE]) expect(log).not.toContain(secret);
    expect(await second.stop()).toBe(0);
    const third = run(data);
    await ready(third);
    expect(await third.stop()).toBe(0);
    expect(third.stderr()).not.toMatch(CODE);
  });

  it('says in one sentence what is wrong with a store, a token, or reading that was opened to too many: exit 3, 4', async () => {
    const nothing = startProgram('girthlog-dashboard', ['setup-code', '--data', tempDir()]);
    expect(await nothing.exited).toBe(4);
    expect(nothing.stderr()).toMatch(/^girthlog-dashboard: There is no store in .+\n$/);
    const env = { [PROGRAM_TOKEN_ENV]: 'short', [PROGRAM_RIGHTS_ENV]: 'read' };
    const short = startProgram('girthlog-dashboard', ['run', '--data', tempDir()], env);
    expect(await short.exited).toBe(3);
    expect(short.stderr()).toMatch(
      /^girthlog-dashboard: GIRTHLOG_PROGRAM_TOKEN is a secret of at least 22 .+\n$/,
    );
    const wrong = { [PROGRAM_TOKEN_ENV]: 'x'.repeat(30), [PROGRAM_RIGHTS_ENV]: 'everything' };
    const rights = startProgram('girthlog-dashboard', ['run', '--data', tempDir()], wrong);
    expect(await rights.exited).toBe(3);
    expect(rights.stderr()).toMatch(/^girthlog-dashboard: GIRTHLOG_PROGRAM_RIGHTS says what .+\n$/);
    for (const flags of [['--open-reading', 'machine'], ['--demo']]) {
      const wide = startProgram('girthlog-dashboard', [
        ...['run', '--data', tempDir(), '--http', '0.0.0.0:0', '--open-network', ...flags],
      ]);
      expect(await wide.exited, flags[0]).toBe(3);
      expect(wide.stderr()).toMatch(/^girthlog-dashboard: --(open-reading|demo) .+\n$/);
    }
  });
});

describe('npm start', () => {
  it('is open for reading on this machine, says that it is the demo, and prints a link that signs in once', async () => {
    const data = join(tempDir(), 'demo');
    const demo = startProgram('girthlog-demo', ['--port', '0', '--mqtt-port', '0', '--data', data]);
    await waitUntil(
      () => demo.stdout().includes('Stop with Ctrl-C.'),
      () => `the demo to be up; it says: ${demo.stdout()} ${demo.stderr()}`,
      40_000,
    );
    const [, http, code] = /To enter +(http:\/\/127\.0\.0\.1:\d+)\/#\/sign-in\?code=([0-9A-F]+)/.exec(
      demo.stdout(),
    )!;
    const ask = async (path: string, init: RequestInit = {}): Promise<Response> =>
      fetch(`${http}${path}`, init);
    expect((await ask('/api/v1/rigs')).status).toBe(200);
    expect(await (await ask('/api/v1/session')).json()).toMatchObject({ state: 'reading', demo: true });
    const post = (path: string, body: unknown): Promise<Response> =>
      ask(path, {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'x-girthlog': '1' },
        body: JSON.stringify(body),
      });
    expect((await post('/api/v1/people', { name: 'X', roles: ['viewer'] })).status).toBe(401);
    const signedIn = await post('/api/v1/session/link', { code });
    expect((await signedIn.json()) as SessionState).toMatchObject({
      state: 'signedIn',
      person: { name: 'Demo visitor' },
    });
    expect((await post('/api/v1/session/link', { code })).status).toBe(401);
    demo.child.kill('SIGINT');
    expect(await demo.exited).toBe(0);
  });
});

interface Answer {
  readonly status: number;
  readonly text: string;
  readonly cookies: readonly string[];
}

/** Over TLS, trusting this authority alone. */
const over = (
  base: string,
  ca: string,
  path: string,
  { cookie, body }: { cookie?: string; body?: unknown } = {},
): Promise<Answer> =>
  new Promise((resolve, reject) => {
    const sent = request(
      new URL(path, base),
      {
        ca,
        method: body === undefined ? 'GET' : 'POST',
        headers: {
          ...(body === undefined ? {} : { 'content-type': 'application/json', 'x-girthlog': '1' }),
          ...(cookie === undefined ? {} : { cookie }),
        },
      },
      response => {
        let text = '';
        response.setEncoding('utf8').on('data', (part: string) => {
          text += part;
        });
        response.on('end', () =>
          resolve({ status: response.statusCode!, text, cookies: response.headers['set-cookie'] ?? [] }),
        );
      },
    );
    sent.on('error', reject);
    sent.end(body === undefined ? undefined : JSON.stringify(body));
  });

describe('a dashboard on TLS', () => {
  // The attributes: RFC 6265bis, sections 4.1.2 and 4.1.3.
  it('gives a session that no script reads and no plain line carries, to this host alone', async () => {
    const data = join(tempDir(), 'data');
    const program = run(data, '--tls', 'on');
    const https = await ready(program);
    expect(https).toMatch(/^https:/);
    const ca = readFileSync(join(data, 'tls', 'authority.pem'), 'utf8');
    const code = await waitUntil(
      () => CODE.exec(program.stderr())?.[1] ?? null,
      () => `a set-up code; it says: ${program.stderr()}`,
    );
    const who = { name: 'A. Keeper', signInName: 'keeper', roles: [], passphrase: PASSPHRASE };
    const made = await over(https, ca, '/api/v1/set-up', { body: { code, ...who } });
    expect(made.status).toBe(201);
    const [set] = made.cookies;
    expect(set).toMatch(/^__Host-[a-z0-9-]+=[\w-]{22,}; /i);
    const attributes = set!
      .split('; ')
      .slice(1)
      .map(one => one.toLowerCase());
    expect(attributes).toEqual(expect.arrayContaining(['path=/', 'httponly', 'secure', 'samesite=strict']));
    expect(attributes.filter(one => one.startsWith('domain'))).toEqual([]);
    const cookie = set!.split(';')[0]!;
    expect((await over(https, ca, '/api/v1/rigs')).status).toBe(401);
    expect((await over(https, ca, '/api/v1/rigs', { cookie })).status).toBe(200);
    const state = JSON.parse((await over(https, ca, '/api/v1/session', { cookie })).text) as SessionState;
    expect(state.person?.name).toBe('A. Keeper');
    // Nothing of it is answered to a plain line on the same port.
    await expect(fetch(https.replace('https:', 'http:'))).rejects.toThrow();
  });
});
