import { join } from 'node:path';
import type { System } from '#core/messages/api-lists';
import { AS_PROGRAM, PROGRAM_ENV } from './program-token.ts';
import { type RunningProgram, startProgram } from './programs.ts';
import { tempDir } from './temp-dir.ts';
import { waitUntil } from './wait-until.ts';

export interface DashboardProgram extends RunningProgram {
  readonly http: string;
  readonly mqtt: string;
  readonly data: string;
  readonly json: <T>(path: string) => Promise<T>;
  readonly post: <T>(path: string, body: unknown) => Promise<T>;
  /** How often a named internal event has happened. */
  readonly counter: (name: string) => Promise<number>;
}

/** The built dashboard on free ports, ready; stopped with the running test at the latest. */
export async function startDashboard(
  options: { data?: string; args?: readonly string[]; mqtt?: string } = {},
): Promise<DashboardProgram> {
  const data = options.data ?? join(tempDir(), 'data');
  const program = startProgram(
    'girthlog-dashboard',
    [
      'run',
      ...['--data', data, '--http', '127.0.0.1:0', '--mqtt', options.mqtt ?? '127.0.0.1:0', '--json'],
      // Read without a session, entered as a program: of accounts other tests speak.
      ...['--open-reading', 'machine'],
      ...(options.args ?? []),
    ],
    PROGRAM_ENV,
  );
  const line = await waitUntil(
    () => (program.stdout().includes('\n') ? program.stdout() : null),
    () => `the dashboard to be ready; it says: ${program.stderr()}`,
  );
  const { http, mqtt } = JSON.parse(line) as { http: string; mqtt: string };
  const json = async <T>(path: string): Promise<T> =>
    (await fetch(http + path, { headers: AS_PROGRAM })).json() as Promise<T>;
  // Its page answers before it hears its own broker: what a test sends only once must not come in between.
  const hasOwnBroker = !options.args?.some(one => one === '--broker' || one === '--config');
  if (hasOwnBroker) {
    await waitUntil(
      async () => (await json<System>('/api/v1/system')).broker.connected,
      () => `the dashboard to hear its own broker; it says: ${program.stderr()}`,
    );
  }
  return {
    ...program,
    http,
    mqtt,
    data,
    json,
    post: async <T>(path: string, body: unknown): Promise<T> => {
      const response = await fetch(http + path, {
        method: 'POST',
        headers: { 'content-type': 'application/json', 'x-girthlog': '1', ...AS_PROGRAM },
        body: JSON.stringify(body),
      });
      const text = await response.text();
      if (!response.ok) throw new Error(`${path}: ${response.status} ${text}`);
      return JSON.parse(text) as T;
    },
    counter: async name => (await json<System>('/api/v1/system')).counters[name] ?? 0,
  };
}
