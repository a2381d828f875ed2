/** What a doctor says of the machine. Numbers of file systems: statfs(2) of Linux man-pages 6.03, "f_type". */
import { describe, expect, it } from 'vitest';
import { finding, findingsExit, findingsText } from '#core/program/finding';
import {
  clockFinding,
  fileSystemFinding,
  type MachineIo,
  machineFindings,
  nodeFinding,
  roomFinding,
  serviceFinding,
  serviceFindings,
  syncFinding,
} from '#core/program/machine-findings';

const NOW = Date.UTC(2026, 4, 12, 8, 0, 0);

describe('the clock', () => {
  const base = { wallMs: NOW, synced: true, floorMs: NOW - 3_600_000 };

  it.each([
    ['kept and after everything known', base, 'ok', /kept by a time service/],
    ['free-running', { ...base, synced: false }, 'look', /systemd-timesyncd/],
    ['nobody can say', { ...base, synced: null }, 'look', /nobody can say/],
    ['a board without a battery', { ...base, wallMs: 0 }, 'stop', /1970-01-01.*set it/],
    [
      'kept, and before what is stored',
      { ...base, floorMs: NOW + 61_000 },
      'stop',
      /before 2026-05-12T08:01:01Z/,
    ],
    ['a minute behind is two clocks apart', { ...base, floorMs: NOW + 59_000 }, 'ok', /kept/],
    ['nothing known to be over', { ...base, floorMs: null }, 'ok', /kept/],
  ] as const)('%s', (_, facts, verdict, text) => {
    expect(clockFinding(facts)).toMatchObject({ check: 'clock', verdict });
    expect(clockFinding(facts).text).toMatch(text);
  });
});

describe('the file system', () => {
  it.each([
    [0xef53, 'ok', 'ext4'],
    [0x01021994, 'stop', 'gone with the power'],
    [0x794c7630, 'look', 'container'],
    [0x6969, 'stop', 'network'],
    [0x4d44, 'stop', 'choose ext4'],
    [0x1234, 'ok', 'type 0x1234'],
    [null, 'stop', 'mounted'],
  ] as const)('0x%s', (type, verdict, text) => {
    const said = fileSystemFinding(type, '/var/lib/girthlog');
    expect(said.verdict).toBe(verdict);
    expect(said.text).toContain(text);
  });
});

describe('writing', () => {
  it.each([
    [[1, 2, 3], 'ok', 'after 2.0 ms, at worst 3.0 ms'],
    [[1, 2, 140], 'look', 'slow'],
    ['EACCES', 'stop', 'as the user of the service'],
    ['EROFS', 'stop', 'read-only'],
    ['ENOSPC', 'stop', 'free space'],
    ['EIO', 'stop', 'dmesg'],
    ['ENOENT', 'look', 'the first start makes it'],
  ] as const)('%s', (times, verdict, text) => {
    const said = syncFinding(times, '/data');
    expect(said.verdict).toBe(verdict);
    expect(said.text).toContain(text);
  });
});

it.each([
  [50e9, 100e9, 'ok'],
  [19e9, 100e9, 'look'],
  [4e9, 100e9, 'stop'],
  [null, 0, 'look'],
] as const)('room: %s of %s bytes free with 5e9 to stay free is %s', (free, total, verdict) => {
  expect(roomFinding(free, total, 5e9, '/data').verdict).toBe(verdict);
});

describe('the supervisor', () => {
  // As systemctl show prints them (systemd 252).
  const shown = (changed: Record<string, string> = {}): string =>
    Object.entries({
      LoadState: 'loaded',
      ActiveState: 'active',
      WatchdogUSec: '1min',
      NRestarts: '0',
      ...changed,
    })
      .map(([name, value]) => `${name}=${value}\n`)
      .join('');

  it.each([
    [shown(), 'ok', 'is active, watched'],
    [shown({ NRestarts: '3' }), 'look', 'again 3 times'],
    [shown({ ActiveState: 'failed' }), 'stop', 'journalctl'],
    [shown({ WatchdogUSec: 'infinity' }), 'look', 'WatchdogSec=60'],
    [shown({ LoadState: 'not-found' }), 'look', 'no unit'],
    [null, 'look', 'systemd does not run here'],
  ] as const)('%s', (text, verdict, says) => {
    const said = serviceFinding(text, 'girthlog-edge@rig-1.service');
    expect(said.verdict).toBe(verdict);
    expect(said.text).toContain(says);
  });
});

it('a Node that is too old is a stop that names the one needed', () => {
  expect(nodeFinding('20.19.0', '/usr/bin/node').verdict).toBe('ok');
  expect(nodeFinding('18.20.4', '/usr/bin/node')).toMatchObject({
    verdict: 'stop',
    text: expect.stringContaining('20.19'),
  });
});

it('asks the machine once for each thing, and a machine that answers nothing still gives every line', async () => {
  const io: MachineIo = {
    run: async () => null,
    statfs: () => null,
    syncTimes: () => 'EACCES',
    exists: () => false,
    wallMs: () => NOW,
  };
  const about = { folder: '/data', writtenIn: '/data/edge', floorMs: null, leastFreeBytes: () => 0 };
  const said = await machineFindings(io, about);
  expect(said.map(({ check, verdict }) => `${check}: ${verdict}`)).toEqual([
    'clock: look',
    'file system: stop',
    'room: look',
    'writing: stop',
  ]);
});

it('without systemd, with it, and where it does not answer', async () => {
  const io = (up: boolean, answer: string | null): MachineIo => ({
    run: async () => answer,
    statfs: () => null,
    syncTimes: () => [],
    exists: () => up,
    wallMs: () => NOW,
  });
  const say = async (up: boolean, answer: string | null) =>
    (await serviceFindings(io(up, answer), 'girthlog-dashboard.service'))[0]?.text;
  expect(await say(false, null)).toContain('systemd does not run here');
  expect(await say(true, null)).toContain('cannot ask systemd');
  expect(await say(true, 'LoadState=not-found\n')).toContain('no unit');
});

it('one line a finding, a count, and exit 3 only where something stops', () => {
  const look = finding('room', 'look', 'little is free: free space');
  const stop = finding('source', 'stop', '/dev/ttyX is not there: plug it in');
  expect(findingsText([look, stop])).toBe(
    'look  room    little is free: free space.\nstop  source  /dev/ttyX is not there: plug it in.\n' +
      '1 to be mended first, 1 to look at, 0 well.\n',
  );
  expect(findingsText([finding('node', 'ok', 'Node 22')])).toMatch(/Everything looked at is well\.\n$/);
  expect([findingsExit([look]), findingsExit([look, stop])]).toEqual([0, 3]);
});
