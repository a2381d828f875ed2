/** What processes cost, from /proc: CPU of a process with its children, bytes it sent to the disk. */
import { existsSync, readFileSync } from 'node:fs';

/** Clock ticks a second in /proc/PID/stat (sysconf(_SC_CLK_TCK), 100 on every Linux that Node runs on). */
const TICKS_PER_S = 100;

export const hasProc = existsSync('/proc/self/stat') && existsSync('/proc/self/io');
export const NO_PROC = 'there is no /proc here';

/** CPU seconds, user and system, that a process and its living children have used so far. */
export function cpuSeconds(pid: number): number {
  // The name in brackets may hold blanks: count from behind it.
  const stat = readFileSync(`/proc/${pid}/stat`, 'utf8');
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  const own = (Number(fields[11]) + Number(fields[12])) / TICKS_PER_S;
  return childrenOf(pid).reduce((sum, child) => sum + cpuSeconds(child), own);
}

/** Living children of a process. */
export function childrenOf(pid: number): number[] {
  return readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').split(' ').filter(Boolean).map(Number);
}

/** What a process holds in memory now. */
export function residentMb(pid: number): number {
  const pages = /VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'));
  return Number(pages?.[1]) / 1024;
}

/** Bytes a process (this one) has caused to be sent to the storage layer, whole pages as the kernel counts them. */
export function diskBytesWritten(pid: number | 'self' = 'self'): number {
  const line = /^write_bytes: (\d+)$/m.exec(readFileSync(`/proc/${pid}/io`, 'utf8'));
  return Number(line?.[1]);
}
