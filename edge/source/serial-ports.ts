/**
 * Serial ports of this machine: by which name they stay the same device, who may open them, who has them open. Nothing is
 * opened: opening moves control lines, and some boards restart then.
 */
import {
  accessSync,
  constants,
  readdirSync,
  readFileSync,
  readlinkSync,
  realpathSync,
  statSync,
} from 'node:fs';
import { join } from 'node:path';
import { holdersOf, parseLocks } from '#core/program/file-locks';

/** Where to look, and as whom. */
export interface PortHost {
  readonly dev: string;
  readonly sys: string;
  readonly proc: string;
  readonly groupFile: string;
  /** Name of the user. */
  readonly user: string;
  /** Group numbers this process has. */
  readonly groups: readonly number[];
}

export interface PortHolder {
  readonly pid: number;
  readonly program: string;
}

export interface SerialPortFacts {
  /** What to write into the configuration: a name that stays this device's where there is one. */
  readonly path: string;
  /** Where it leads now; null: nowhere, the device is not there. */
  readonly realPath: string | null;
  /** Whether the name belongs to the device and not to the order of plugging in. */
  readonly isStable: boolean;
  readonly mayOpen: boolean;
  /** The group that may open it; null where the file system names none. */
  readonly group: string | null;
  /** Whether the user is in that group, though perhaps not yet in this session. */
  readonly isInGroup: boolean;
  /** Programs that hold it; those of other users are seen only when they lock it, as the edge does. */
  readonly heldBy: readonly PortHolder[];
}

const NAMES = /^tty(?:USB|ACM|AMA|S|mxc|O|THS|SC|XRUSB)\d+$/;

/** Every port there is, by its stable name where it has one, sorted. */
export function listPorts(host: PortHost): SerialPortFacts[] {
  const byId = join(host.dev, 'serial/by-id');
  const stable = entriesOf(byId).map(name => join(byId, name));
  const named = new Set(stable.map(real));
  const others = entriesOf(host.dev)
    .filter(name => NAMES.test(name) && isFitted(name, host.sys))
    .map(name => join(host.dev, name))
    .filter(path => !named.has(real(path)));
  return [...stable, ...others].sort().map(path => describePort(path, host));
}

export function describePort(path: string, host: PortHost): SerialPortFacts {
  const realPath = real(path);
  const isStable = path.startsWith(join(host.dev, 'serial/by-'));
  if (realPath === null) {
    return { path, realPath, isStable, mayOpen: false, group: null, isInGroup: false, heldBy: [] };
  }
  const { gid } = statSync(realPath);
  const group = groupOf(gid, host.groupFile);
  return {
    path,
    realPath,
    isStable,
    mayOpen: mayReadAndWrite(realPath),
    group: group?.name ?? null,
    isInGroup: host.groups.includes(gid) || (group?.members.includes(host.user) ?? false),
    heldBy: holders(realPath, host.proc),
  };
}

/** One sentence without a full stop: what to do about it, or how to write it down. */
export function portHint({
  path,
  realPath,
  isStable,
  mayOpen,
  group,
  isInGroup,
  heldBy,
}: SerialPortFacts): string {
  if (realPath === null)
    return 'is not there: plug the device in, or see the names that girthlog-edge ports lists';
  if (!mayOpen) {
    if (group === null) return 'this user may not open it: see who owns it (ls -l)';
    return isInGroup
      ? `this user is in the group ${group}, but not yet in this session: log in again`
      : `this user may not open it: sudo usermod -aG ${group} USER, then log in again`;
  }
  if (heldBy.length > 0)
    return `in use by ${heldBy.map(({ program, pid }) => `${program} (process ${pid})`).join(', ')}`;
  if (!isStable) return 'has no name of its own: after a replug another device may have this one';
  return `free: url = "serial://${path}?baud=115200", with the device's own baud rate`;
}

function mayReadAndWrite(path: string): boolean {
  try {
    accessSync(path, constants.R_OK | constants.W_OK);
    return true;
  } catch {
    return false;
  }
}

/** The kernel makes nodes for ports of a board that were never fitted; their type is 0. */
function isFitted(name: string, sys: string): boolean {
  if (!/^ttyS\d+$/.test(name)) return true;
  try {
    return readFileSync(join(sys, 'class/tty', name, 'type'), 'utf8').trim() !== '0';
  } catch {
    return true;
  }
}

function holders(realPath: string, proc: string): PortHolder[] {
  const { dev, ino } = statSync(realPath);
  const locked = holdersOf(parseLocks(textOf(join(proc, 'locks'))), { dev, ino })
    .filter(({ isWrite }) => isWrite)
    .map(({ pid }) => pid);
  const opened = entriesOf(proc).flatMap(name => {
    if (!/^\d+$/.test(name)) return [];
    const open = entriesOf(join(proc, name, 'fd')).some(
      fd => linkOf(join(proc, name, 'fd', fd)) === realPath,
    );
    return open ? [Number(name)] : [];
  });
  return [...new Set([...locked, ...opened])]
    .filter(pid => pid > 0)
    .sort((a, b) => a - b)
    .map(pid => ({ pid, program: textOf(join(proc, String(pid), 'comm')).trim() || 'a program' }));
}

function groupOf(gid: number, groupFile: string): { name: string; members: readonly string[] } | null {
  for (const line of textOf(groupFile).split('\n')) {
    const [name = '', , number, members = ''] = line.split(':');
    if (Number(number) === gid && name !== '') return { name, members: members.split(',') };
  }
  return null;
}

function real(path: string): string | null {
  try {
    return realpathSync(path);
  } catch {
    return null;
  }
}

function linkOf(path: string): string | null {
  try {
    return readlinkSync(path);
  } catch {
    return null;
  }
}

function entriesOf(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

function textOf(file: string): string {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return '';
  }
}
