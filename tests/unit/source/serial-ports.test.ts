/** Serial ports in a tree made like /dev, /sys and /proc. Names under /dev/serial/by-id: udev's 60-serial.rules (systemd 252). */
import { chmodSync, mkdirSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, it } from 'vitest';
import { sourceFinding } from '../../../edge/commands/doctor-source.ts';
import { describePort, listPorts, type PortHost, portHint } from '../../../edge/source/serial-ports.ts';
import { tempDir } from '../../support/temp-dir.ts';

const BY_ID = 'serial/by-id/usb-rig_sensor_board_0001-if00-port0';

function machine(): {
  host: PortHost;
  dev: (path: string) => string;
  put: (path: string, text?: string) => string;
} {
  const root = tempDir();
  const put = (path: string, text = ''): string => {
    const file = join(root, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, text);
    return file;
  };
  const node = put('dev/ttyUSB0');
  mkdirSync(join(root, 'dev/serial/by-id'), { recursive: true });
  symlinkSync('../../ttyUSB0', join(root, 'dev', BY_ID));
  put('dev/ttyS0');
  put('dev/ttyS1');
  put('sys/class/tty/ttyS0/type', '4\n');
  put('sys/class/tty/ttyS1/type', '0\n');
  put('dev/tty7');
  put('proc/locks', '');
  const { gid } = statSync(node);
  put('etc/group', `root:x:${gid + 1}:\ndialout:x:${gid}:somebody\n`);
  const host = {
    ...{ dev: join(root, 'dev'), sys: join(root, 'sys'), proc: join(root, 'proc') },
    groupFile: join(root, 'etc/group'),
    ...{ user: 'welder', groups: [] },
  };
  return { host, dev: path => join(root, 'dev', path), put };
}

it('lists each port once, by the name that stays its own, and none that was never fitted', () => {
  const { host, dev } = machine();
  expect(listPorts(host).map(({ path, realPath, isStable }) => [path, realPath, isStable])).toEqual([
    [dev(BY_ID), dev('ttyUSB0'), true],
    [dev('ttyS0'), dev('ttyS0'), false],
  ]);
  expect(portHint(listPorts(host)[0]!)).toContain(`url = "serial://${dev(BY_ID)}?baud=115200"`);
  expect(portHint(listPorts(host)[1]!)).toContain('has no name of its own');
});

it('names who has it: by the lock that an edge takes, and by what is open', () => {
  const { host, dev, put } = machine();
  const { dev: device, ino } = statSync(dev('ttyUSB0'));
  const number = `${((device >>> 8) & 0xfff).toString(16).padStart(2, '0')}:${(device & 0xff).toString(16).padStart(2, '0')}`;
  put('proc/locks', `1: FLOCK  ADVISORY  WRITE 4711 ${number}:${ino} 0 EOF\n`);
  put('proc/4711/comm', 'girthlog-edge\n');
  put('proc/815/comm', 'terminal\n');
  mkdirSync(join(host.proc, '815/fd'));
  symlinkSync(dev('ttyUSB0'), join(host.proc, '815/fd/3'));
  const port = describePort(dev(BY_ID), host);
  expect(port.heldBy).toEqual([
    { pid: 815, program: 'terminal' },
    { pid: 4711, program: 'girthlog-edge' },
  ]);
  expect(portHint(port)).toBe('in use by terminal (process 815), girthlog-edge (process 4711)');
});

it('says what to do about each thing that is in the way', () => {
  const { host, dev } = machine();
  expect(portHint(describePort(dev('ttyUSB9'), host))).toContain('plug the device in');
  chmodSync(dev('ttyUSB0'), 0o660);
  const port = { ...describePort(dev(BY_ID), host), mayOpen: false };
  expect(port).toMatchObject({ group: 'dialout', isInGroup: false });
  expect(portHint(port)).toContain('usermod -aG dialout');
  const later = { ...describePort(dev(BY_ID), { ...host, user: 'somebody' }), mayOpen: false };
  expect(portHint(later)).toContain('not yet in this session: log in again');
});

it('a doctor leaves a port to its own edge, and wants a name that stays', async () => {
  const { host, dev, put } = machine();
  const say = (path: string, runningPid: number | null) =>
    sourceFinding(`serial://${dev(path)}?baud=115200`, host, runningPid);
  expect(await say(BY_ID, null)).toMatchObject({ verdict: 'ok', text: expect.stringContaining('free') });
  expect(await say('ttyUSB0', null)).toMatchObject({
    verdict: 'look',
    text: expect.stringContaining('by-id'),
  });
  put('proc/4711/comm', 'node\n');
  mkdirSync(join(host.proc, '4711/fd'));
  symlinkSync(dev('ttyUSB0'), join(host.proc, '4711/fd/20'));
  expect(await say(BY_ID, 4711)).toMatchObject({
    verdict: 'ok',
    text: expect.stringContaining('process 4711'),
  });
  expect(await say(BY_ID, null)).toMatchObject({
    verdict: 'stop',
    text: expect.stringContaining('node (process 4711)'),
  });
});
