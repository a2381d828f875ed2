/**
 * What a `doctor` thinks of the machine under a program: Node, clock, file system, speed of syncing, supervisor. Facts are
 * passed in; asking for them is for the programs (`MachineIo`).
 */
import { type Finding, finding } from './finding.ts';
import { nodeProblem } from './oldest-node.ts';

/** How a program asks the machine; every answer may be missing. */
export interface MachineIo {
  /** What a command prints; null where it cannot be run or fails. */
  readonly run: (command: string, args: readonly string[]) => Promise<string | null>;
  /** The file system under a folder; null where it cannot be asked. */
  readonly statfs: (
    folder: string,
  ) => { readonly type: number; readonly freeBytes: number; readonly totalBytes: number } | null;
  /** Milliseconds that each of `count` small writes took to be synced in the folder; or the code of the error. */
  readonly syncTimes: (folder: string, count: number) => readonly number[] | string;
  readonly exists: (path: string) => boolean;
  readonly wallMs: () => number;
}

export function nodeFinding(version: string, executable: string): Finding {
  const problem = nodeProblem(version);
  return problem === null
    ? finding('node', 'ok', `Node ${version} (${executable})`)
    : finding(
        'node',
        'stop',
        `${problem.replace(/\.$/, '')}: install a newer one, or the Debian package, which carries its own`,
      );
}

export interface ClockFacts {
  readonly wallMs: number;
  /** As the kernel says; null where nobody can say. */
  readonly synced: boolean | null;
  /** The newest time that is certainly over: of the program's own file, and of what is stored. Null: none known. */
  readonly floorMs: number | null;
}

/** More behind than this is no matter of a time zone or of two clocks a little apart, ms. */
const BEHIND_MS = 60_000;

export function clockFinding({ wallMs, synced, floorMs }: ClockFacts): Finding {
  const now = new Date(wallMs).toISOString().slice(0, 19);
  if (floorMs !== null && wallMs < floorMs - BEHIND_MS) {
    const floor = new Date(floorMs).toISOString().slice(0, 19);
    return finding(
      'clock',
      'stop',
      `the clock says ${now}Z, which is before ${floor}Z, when the newest thing here was written: set it, or connect a time service`,
    );
  }
  if (synced === null) {
    return finding(
      'clock',
      'look',
      `the clock says ${now}Z and nobody can say whether it is kept: see that a time service runs`,
    );
  }
  return synced
    ? finding('clock', 'ok', `${now}Z, kept by a time service`)
    : finding(
        'clock',
        'look',
        `${now}Z, not kept by a time service: recording goes on and is dated later; connect one (systemd-timesyncd, chrony)`,
      );
}

/** statfs(2), f_type. */
const FILE_SYSTEMS: Readonly<
  Record<number, readonly [string, 'disk' | 'memory' | 'layer' | 'network' | 'simple']>
> = {
  61267: ['ext4', 'disk'],
  1481003842: ['xfs', 'disk'],
  2435016766: ['btrfs', 'disk'],
  4076150800: ['f2fs', 'disk'],
  16914836: ['tmpfs', 'memory'],
  2240043254: ['ramfs', 'memory'],
  2035054128: ['overlay', 'layer'],
  26985: ['nfs', 'network'],
  4266872130: ['smb', 'network'],
  4283649346: ['cifs', 'network'],
  19780: ['vfat', 'simple'],
  538032816: ['exfat', 'simple'],
};

export function fileSystemFinding(type: number | null, folder: string): Finding {
  if (type === null)
    return finding(
      'file system',
      'stop',
      `${folder} cannot be asked what it lies on: see that its disk is mounted`,
    );
  const [name, kind] = FILE_SYSTEMS[type] ?? [`type 0x${type.toString(16)}`, 'disk'];
  switch (kind) {
    case 'memory':
      return finding(
        'file system',
        'stop',
        `${folder} lies in memory (${name}): everything is gone with the power; choose a folder on a disk`,
      );
    case 'layer':
      return finding(
        'file system',
        'look',
        `${folder} lies on a layer (${name}): see that it is kept when the machine or container starts again`,
      );
    case 'network':
      return finding(
        'file system',
        'stop',
        `${folder} lies on a network (${name}), where the store's locks do not hold: choose a disk of this machine`,
      );
    case 'simple':
      return finding(
        'file system',
        'stop',
        `${folder} lies on ${name}, which has no owners and keeps no order of writes: choose ext4`,
      );
    case 'disk':
      return finding('file system', 'ok', `${folder} lies on ${name}`);
  }
}

/** From here on a slow disk is an alarm of a running edge, ms. */
const SLOW_SYNC_MS = 100;

/** `times`: of single syncs, ms; or the code of the error that writing ended with. */
export function syncFinding(times: readonly number[] | string, folder: string): Finding {
  if (times === 'ENOENT')
    return finding('writing', 'look', `${folder} is not there yet: the first start makes it`);
  if (typeof times === 'string') {
    const reason = WRITE_ERRORS[times] ?? `it cannot be written (${times}): see what its disk says in dmesg`;
    return finding('writing', 'stop', `${folder}: ${reason}`);
  }
  const sorted = [...times].sort((a, b) => a - b);
  const median = sorted[Math.floor(sorted.length / 2)] ?? 0;
  const worst = sorted.at(-1) ?? 0;
  const said = `${times.length} small writes were on the disk after ${median.toFixed(1)} ms, at worst ${worst.toFixed(1)} ms`;
  return worst > SLOW_SYNC_MS
    ? finding('writing', 'look', `${said}: slow; look for another program that writes, or a worn card`)
    : finding('writing', 'ok', said);
}

const WRITE_ERRORS: Readonly<Record<string, string>> = {
  EACCES: 'this user may not write there: run this as the user of the service, and see who owns the folder',
  EPERM: 'this user may not write there: run this as the user of the service, and see who owns the folder',
  EROFS: 'it is mounted read-only: a disk that failed is mounted so; see dmesg, and mount it again',
  ENOSPC: 'the disk is full: free space',
};

export function roomFinding(
  freeBytes: number | null,
  totalBytes: number,
  leastFreeBytes: number,
  folder: string,
): Finding {
  if (freeBytes === null)
    return finding('room', 'look', `how full ${folder} is cannot be asked: see that its disk is mounted`);
  const gb = (bytes: number): string => `${(bytes / 1e9).toFixed(1)} GB`;
  const said = `${gb(freeBytes)} of ${gb(totalBytes)} are free`;
  if (freeBytes < leastFreeBytes) {
    return finding(
      'room',
      'stop',
      `${said}, less than the ${gb(leastFreeBytes)} that have to stay free: free space`,
    );
  }
  return freeBytes < totalBytes * 0.2
    ? finding('room', 'look', `${said}: free space before it gets less`)
    : finding('room', 'ok', said);
}

/** What `systemctl show` prints of a unit; null where there is no systemd. */
export function serviceFinding(shown: string | null, unit: string): Finding {
  if (shown === null) {
    return finding(
      'watchdog',
      'look',
      'systemd does not run here: nobody starts the program again when it ends or hangs',
    );
  }
  const is = Object.fromEntries(shown.split('\n').map(line => line.split(/=(.*)/s).slice(0, 2))) as Record<
    string,
    string
  >;
  if (is['LoadState'] !== 'loaded') {
    return finding(
      'watchdog',
      'look',
      `there is no unit ${unit}: nobody starts the program again when it ends or hangs (docs/service.md)`,
    );
  }
  const state = `${unit} is ${is['ActiveState']}`;
  if (is['WatchdogUSec'] === '0' || is['WatchdogUSec'] === 'infinity' || is['WatchdogUSec'] === undefined) {
    return finding(
      'watchdog',
      'look',
      `${state} without a watchdog: a program that hangs is not started again; set WatchdogSec=60`,
    );
  }
  if (is['ActiveState'] === 'failed') {
    return finding(
      'watchdog',
      'stop',
      `${state}: journalctl -u ${unit} says why, systemctl start ${unit} tries again`,
    );
  }
  const restarts = Number(is['NRestarts'] ?? 0);
  return restarts > 0
    ? finding(
        'watchdog',
        'look',
        `${state}, watched, and was started again ${restarts} times: journalctl -u ${unit} says why`,
      )
    : finding('watchdog', 'ok', `${state}, watched`);
}

/** Asks for clock, file system and room of `folder`, and for writing in `writtenIn`, which may not be there yet. */
export async function machineFindings(
  io: MachineIo,
  about: {
    readonly folder: string;
    readonly writtenIn: string;
    readonly floorMs: number | null;
    readonly leastFreeBytes: (total: number) => number;
  },
): Promise<Finding[]> {
  const { folder } = about;
  const answer = await io.run('timedatectl', ['show', '--property=NTPSynchronized', '--value']);
  const synced = answer === null ? null : answer.trim() === 'yes';
  const disk = io.statfs(folder);
  return [
    clockFinding({ wallMs: io.wallMs(), synced, floorMs: about.floorMs }),
    fileSystemFinding(disk?.type ?? null, folder),
    roomFinding(
      disk?.freeBytes ?? null,
      disk?.totalBytes ?? 0,
      about.leastFreeBytes(disk?.totalBytes ?? 0),
      folder,
    ),
    syncFinding(io.syncTimes(about.writtenIn, SYNCS), about.writtenIn),
  ];
}

const SYNCS = 20;

/** Asks for the unit that runs the program. */
export async function serviceFindings(io: MachineIo, unit: string): Promise<Finding[]> {
  const properties = '--property=LoadState,ActiveState,WatchdogUSec,NRestarts';
  if (!io.exists('/run/systemd/system')) return [serviceFinding(null, unit)];
  const shown = await io.run('systemctl', ['show', properties, unit]);
  if (shown !== null) return [serviceFinding(shown, unit)];
  return [
    finding(
      'watchdog',
      'look',
      `this user cannot ask systemd about ${unit} (is dbus installed?): see sudo systemctl status ${unit}`,
    ),
  ];
}
