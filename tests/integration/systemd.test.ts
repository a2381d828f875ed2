/** The programs as services of systemd: what they tell it, and the unit files in docs/systemd. */
import { execFileSync, spawnSync } from 'node:child_process';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { notifySocket } from '../support/notify-socket.ts';
import { DIST, isMissing, startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

const UNITS = join(import.meta.dirname, '../../docs/systemd');
const INSTALL = 'apt install systemd python3';
const withoutNotify = isMissing('systemd-notify', INSTALL) || isMissing('python3', INSTALL);
const withoutAnalyze = isMissing('systemd-analyze', INSTALL);
/** Scores of systemd-analyze security from which on it calls a service exposed. */
const MOST_EXPOSED = 4;

describe.skipIf(withoutNotify)('a supervised program', () => {
  it('the dashboard says that it is ready, gets on, and stops', async () => {
    const ear = await notifySocket();
    const args = ['run', '--data', join(tempDir(), 'data'), '--http', '127.0.0.1:0', '--mqtt', '127.0.0.1:0'];
    const program = startProgram('girthlog-dashboard', args, {
      NOTIFY_SOCKET: ear.path,
      WATCHDOG_USEC: '300000',
    });
    const heard = (what: string, times = 1) =>
      waitUntil(
        () => ear.heard().filter(one => one === what).length >= times,
        () => `${what}: ${ear.heard()} ${program.stderr()}`,
      );
    await heard('READY=1');
    expect(ear.heard().find(one => one.startsWith('STATUS='))).toMatch(/^STATUS=page http:/);
    await heard('WATCHDOG=1', 3);
    expect(await program.stop()).toBe(0);
    await heard('STOPPING=1');
  });

  it('the edge too, as long as the thread that writes its store answers', async () => {
    const ear = await notifySocket();
    const folder = tempDir();
    const config = join(folder, 'edge.toml');
    writeFileSync(
      config,
      [
        '[rig]',
        'site = "spread-1"',
        'rig = "rig-a"',
        'origin = "simulated"',
        'reference_radius_mm = 325',
        '[source]',
        'url = "tcp://127.0.0.1:1"',
        '[broker]',
        'url = "mqtt://127.0.0.1:1"',
        '[store]',
        `path = "${join(folder, 'edge.db')}"`,
      ].join('\n'),
    );
    const program = startProgram('girthlog-edge', ['run', '--config', config], {
      NOTIFY_SOCKET: ear.path,
      WATCHDOG_USEC: '300000',
    });
    await waitUntil(
      () => ear.heard().includes('READY=1'),
      () => `ready: ${program.stderr()}`,
    );
    await waitUntil(() => ear.heard().filter(one => one === 'WATCHDOG=1').length >= 3, 'signs of life');
    expect(await program.stop()).toBe(0);
    await waitUntil(() => ear.heard().includes('STOPPING=1'), 'the stop to be told');
  });
});

describe.skipIf(withoutAnalyze)('unit files', () => {
  /** As installed on this machine: its Node, this build. */
  function installed(name: string): string {
    const text = readFileSync(join(UNITS, name), 'utf8')
      .replaceAll('/usr/bin/node', process.execPath)
      .replaceAll('/opt/girthlog/dist', DIST);
    const path = join(tempDir(), name.replace('@.', '@rig-1.'));
    writeFileSync(path, text);
    return path;
  }

  const units = readdirSync(UNITS).filter(name => /\.(?:service|timer)$/.test(name));

  it.each(units)('systemd has nothing to say against %s', name => {
    const { status, stderr, stdout } = spawnSync('systemd-analyze', ['verify', '--man=no', installed(name)], {
      encoding: 'utf8',
    });
    expect({ status, said: stdout + stderr }).toEqual({ status: 0, said: '' });
  });

  it.each(units.filter(name => name.endsWith('.service')))('%s is not exposed', name => {
    const args = ['security', '--offline=true', '--no-pager', installed(name)];
    const table = execFileSync('systemd-analyze', args, { encoding: 'utf8' });
    const [, score] = /Overall exposure level for \S+: (\d+\.\d+)/.exec(table) ?? [];
    expect(Number(score), table).toBeLessThan(MOST_EXPOSED);
    process.stderr.write(`${name}: exposure ${score} of 10\n`);
  });

  it('an edge may listen on no port, and reaches serial ports only', () => {
    const text = readFileSync(join(UNITS, 'girthlog-edge@.service'), 'utf8');
    expect(text).toMatch(/^SocketBindDeny=any$/m);
    expect(text).not.toMatch(/^SocketBindAllow/m);
    expect([...text.matchAll(/^DeviceAllow=(\S+)/gm)].map(([, device]) => device)).toSatisfy(
      (devices: string[]) => devices.every(device => device.startsWith('char-tty')),
    );
    expect(text).toMatch(/^SupplementaryGroups=dialout$/m);
  });
});
