/** A real InfluxDB 1.x in a folder of this run, where it is installed. */
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { freePort } from '../../support/free-port.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { stopChild } from './programs.ts';

const PROGRAM = ['/usr/bin/influxd', '/usr/local/bin/influxd'].find(existsSync);
export const hasInfluxd = PROGRAM !== undefined;
export const NO_INFLUXD = 'InfluxDB is not installed (apt-get install influxdb)';

export interface Influxd {
  readonly url: string;
  /** Bytes of its own compressed files once everything written is in them. */
  readonly settledBytes: () => Promise<number>;
  readonly stop: () => Promise<void>;
}

function bytesBelow(folder: string, ending: string): number {
  if (!existsSync(folder)) return 0;
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(name =>
    name.endsWith(ending),
  );
  return files.reduce((sum, name) => sum + statSync(join(folder, name)).size, 0);
}

export async function startInfluxd(folder: string): Promise<Influxd> {
  if (PROGRAM === undefined) throw new Error(NO_INFLUXD);
  const [port, backupPort] = [await freePort(), await freePort()];
  mkdirSync(folder, { recursive: true });
  const file = join(folder, 'influxdb.conf');
  writeFileSync(
    file,
    `reporting-disabled = true
bind-address = "127.0.0.1:${backupPort}"
[meta]
  dir = "${join(folder, 'meta')}"
[data]
  dir = "${join(folder, 'data')}"
  wal-dir = "${join(folder, 'wal')}"
  cache-snapshot-write-cold-duration = "1s"
  compact-full-write-cold-duration = "1s"
[http]
  bind-address = "127.0.0.1:${port}"
  log-enabled = false
[monitor]
  store-enabled = false
`,
  );
  const child = spawn(PROGRAM, ['-config', file], { stdio: 'ignore' });
  const url = `http://127.0.0.1:${port}`;
  await waitUntil(
    () =>
      fetch(`${url}/ping`).then(
        response => response.ok,
        () => false,
      ),
    'InfluxDB to answer',
  );
  return {
    url,
    stop: () => stopChild(child),
    settledBytes: async () => {
      // Nothing waits in the log, and the compressed files have stopped changing.
      let last = -1;
      let since = performance.now();
      await waitUntil(
        () => {
          const now = bytesBelow(join(folder, 'data'), '.tsm');
          if (now !== last || bytesBelow(join(folder, 'wal'), '.wal') > 0) since = performance.now();
          last = now;
          return now > 0 && performance.now() - since > 3000;
        },
        'InfluxDB to compress what was written',
        90_000,
      );
      return last;
    },
  };
}
