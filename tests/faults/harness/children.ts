import { readFileSync } from 'node:fs';
import { waitUntil } from '../../support/wait-until.ts';

/** The embedded broker is the dashboard's only child. */
export async function brokerPidOf(dashboardPid: number, except = 0): Promise<number> {
  return waitUntil(() => {
    const [child] = readFileSync(`/proc/${dashboardPid}/task/${dashboardPid}/children`, 'utf8')
      .trim()
      .split(' ');
    return child && Number(child) !== except ? Number(child) : null;
  }, 'the broker to run');
}

/** Open files and memory of a process, from the kernel's own books. */
export function residentMb(pid: number): number {
  const status = readFileSync(`/proc/${pid}/status`, 'utf8');
  return Number(/^VmRSS:\s+(\d+) kB/m.exec(status)?.[1] ?? 0) / 1024;
}
