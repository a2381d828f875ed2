/**
 * What the dashboard that runs on a store says of itself there, for a command beside it: its address and the file it
 * was set by. Gone when it stops; one that was killed is told by its process.
 */
import { readFileSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { z } from 'zod';
import { writeWhole } from '../write-whole.ts';

export const RUNNING_FILE = 'running.json';

const runningSchema = z.object({
  pid: z.int().min(1),
  /** As it listens: http://127.0.0.1:8080. */
  http: z.url(),
  config: z.string().nullable(),
});
export type RunningDashboard = z.infer<typeof runningSchema>;

/** Written once it listens; what comes back takes it away. */
export function noteRunning(data: string, http: string, config: string | undefined): () => void {
  const file = join(data, RUNNING_FILE);
  const running: RunningDashboard = {
    pid: process.pid,
    http,
    config: config === undefined ? null : resolve(config),
  };
  try {
    writeWhole(file, `${JSON.stringify(running)}\n`, 0o644);
  } catch {
    // A help for commands, no more: a full disk has its own alarm.
  }
  return () => rmSync(file, { force: true });
}

/** Null where none runs on this store. */
export function runningDashboard(data: string): RunningDashboard | null {
  let read: unknown;
  try {
    read = JSON.parse(readFileSync(join(data, RUNNING_FILE), 'utf8'));
  } catch {
    return null;
  }
  const running = runningSchema.safeParse(read);
  return running.success && isAlive(running.data.pid) ? running.data : null;
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    // Of another user: it is there.
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}
