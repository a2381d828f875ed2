/** The broker's own process, which loads while the rest of the dashboard does. */
import { type ChildProcess, fork } from 'node:child_process';

/** Enough for 64 connections with full queues; beyond it the child ends and is started afresh. */
const HEAP_MB = 192;

let ahead: { readonly program: string; readonly child: ChildProcess } | null = null;

/** Begins to load it before it is known where it shall listen. It ends with this process. */
export function forkBrokerAhead(program: URL): void {
  ahead ??= { program: program.href, child: forked(program) };
}

/** It waits for its orders: the one that was begun, or a fresh one. */
export function forkBroker(program: URL): ChildProcess {
  const begun = ahead;
  ahead = null;
  const isThere = begun?.program === program.href && begun.child.connected;
  if (!isThere) begun?.child.kill();
  return isThere ? begun.child : forked(program);
}

const forked = (program: URL): ChildProcess =>
  fork(program, [], {
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    execArgv: [`--max-old-space-size=${HEAP_MB}`],
  });
