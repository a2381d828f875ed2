import { type ChildProcess, spawn } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { freePort } from './mosquitto.ts';
import { isMissing } from './programs.ts';
import { tempDir } from './temp-dir.ts';
import { waitUntil } from './wait-until.ts';

/** For `describe.skipIf`: a real InfluxDB is not installed. */
export const influxMissing = isMissing('influxd', 'apt-get install influxdb');

export interface InfluxServer {
  readonly url: string;
  kill(): Promise<void>;
  start(): Promise<void>;
}

/** A real InfluxDB 1.x on a free port with its data in a folder of its own; ends with the running test. */
export async function startInfluxServer(): Promise<InfluxServer> {
  const dir = tempDir();
  const [port, backupPort] = [await freePort(), await freePort()];
  const file = join(dir, 'influxdb.conf');
  writeFileSync(
    file,
    `reporting-disabled = true
bind-address = "127.0.0.1:${backupPort}"
[meta]
  dir = "${join(dir, 'meta')}"
[data]
  dir = "${join(dir, 'data')}"
  wal-dir = "${join(dir, 'wal')}"
[http]
  bind-address = "127.0.0.1:${port}"
  log-enabled = false
[monitor]
  store-enabled = false
`,
  );
  let child: ChildProcess | null = null;
  const kill = async (): Promise<void> => {
    const dying = child;
    child = null;
    if (!dying || dying.exitCode !== null) return;
    const gone = new Promise(resolve => dying.once('exit', resolve));
    dying.kill('SIGKILL');
    await gone;
  };
  const url = `http://127.0.0.1:${port}`;
  const start = async (): Promise<void> => {
    child = spawn('influxd', ['-config', file], { stdio: 'ignore' });
    const answers = (): Promise<boolean> =>
      fetch(`${url}/ping`).then(
        response => response.ok,
        () => false,
      );
    await waitUntil(answers, 'InfluxDB to answer');
  };
  onTestFinished(kill);
  await start();
  return { url, kill, start };
}
