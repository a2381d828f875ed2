import { readdirSync, readFileSync, readlinkSync } from 'node:fs';

/** LISTEN in /proc/net/tcp (Linux, include/net/tcp_states.h). */
const LISTEN = '0A';

/** Ports that a process and its children listen on over TCP, each with whether others than this machine reach it. */
export function listening(pid: number): { port: number; isLoopback: boolean }[] {
  const inodes = new Set([pid, ...childrenOf(pid)].flatMap(socketsOf));
  return ['tcp', 'tcp6'].flatMap(name =>
    readFileSync(`/proc/net/${name}`, 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .map(line => line.trim().split(/\s+/))
      .filter(fields => fields[3] === LISTEN && inodes.has(fields[9] ?? ''))
      .map(([, local = '']) => {
        const [address = '', port = ''] = local.split(':');
        // Addresses stand least significant byte first: 0100007F is 127.0.0.1.
        const isLoopback = address.endsWith('7F') || /^0{24}01000000$/.test(address);
        return { port: Number.parseInt(port, 16), isLoopback };
      }),
  );
}

function socketsOf(pid: number): string[] {
  return readdirSync(`/proc/${pid}/fd`).flatMap(name => {
    try {
      return /^socket:\[(\d+)\]$/.exec(readlinkSync(`/proc/${pid}/fd/${name}`))?.[1] ?? [];
    } catch {
      // Closed meanwhile.
      return [];
    }
  });
}

function childrenOf(pid: number): number[] {
  const direct = readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').trim();
  const children = direct === '' ? [] : direct.split(' ').map(Number);
  return [...children, ...children.flatMap(childrenOf)];
}
