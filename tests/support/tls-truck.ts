import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { request } from 'node:https';
import { join } from 'node:path';
import type { System } from '#core/messages/api-lists';
import { DIST, startProgram } from './programs.ts';
import { tempDir } from './temp-dir.ts';
import { waitUntil } from './wait-until.ts';

export interface MadeCode {
  readonly code: string;
  readonly fingerprint: string;
}

/** The built dashboard with TLS, letting in enrolled machines only; `lines` are TOML that follows. `at`: of one that was there before. */
export async function startTlsTruck(
  lines: readonly string[] = [],
  at: { readonly data?: string; readonly mqtt?: string } = {},
) {
  const dir = tempDir();
  const { data = join(dir, 'data'), mqtt: listen = '127.0.0.1:0' } = at;
  const config = join(dir, 'dashboard.toml');
  writeFileSync(
    config,
    [
      `data = "${data}"`,
      'http = "127.0.0.1:0"',
      `mqtt = "${listen}"`,
      'tls = "on"',
      'machines = "enrolled"',
      'open_reading = "machine"',
      ...lines,
    ].join('\n'),
  );
  const program = startProgram('girthlog-dashboard', ['run', '--config', config, '--json']);
  const line = await waitUntil(
    () => (program.stdout().includes('\n') ? program.stdout() : null),
    () => `the dashboard to be ready; it says: ${program.stderr()}`,
  );
  const { http, mqtt } = JSON.parse(line) as { http: string; mqtt: string };
  const command = (...args: string[]): string =>
    execFileSync(process.execPath, [join(DIST, 'girthlog-dashboard.js'), ...args, '--config', config], {
      encoding: 'utf8',
    });
  /** Whom to trust is not what is tested here. */
  const json = <T>(path: string): Promise<T> =>
    new Promise((resolve, reject) => {
      const asked = request(new URL(path, http), { rejectUnauthorized: false }, response => {
        let text = '';
        response.setEncoding('utf8').on('data', (more: string) => {
          text += more;
        });
        response.on('end', () => resolve(JSON.parse(text) as T));
      });
      asked.on('error', reject);
      asked.end();
    });
  return {
    ...program,
    http,
    mqtt,
    data,
    json,
    command,
    code: () => JSON.parse(command('enrol', 'spread-1/rig-a', '--json')) as MadeCode,
    stored: async () => (await json<System>('/api/v1/system')).counters['recordStored'] ?? 0,
  };
}
