import { fork } from 'node:child_process';
import { join } from 'node:path';
import type { BenchContext } from './figure.ts';
import { stopChild } from './programs.ts';

export interface Role<T> {
  readonly pid: number;
  /** What it said when it was ready. */
  readonly said: T;
  /** The next thing it says after being told this. */
  readonly ask: <A>(message: object) => Promise<A>;
  readonly stop: () => Promise<void>;
}

/** Starts a child of the benchmark in the named role; resolves with the first thing it says. */
export async function startRole<T>(
  { dist }: BenchContext,
  name: string,
  args: readonly string[] = [],
  order?: object,
): Promise<Role<T>> {
  const child = fork(join(dist, 'bench.js'), [name, ...args], {
    stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
  });
  const next = <A>(): Promise<A> =>
    new Promise<A>((resolve, reject) => {
      const ended = (): void => reject(new Error(`the child ${name} ended`));
      child.once('exit', ended);
      child.once('message', message => {
        child.off('exit', ended);
        resolve(message as A);
      });
    });
  const first = next<T>();
  if (order !== undefined) child.send(order);
  const said = await first;
  return {
    pid: child.pid!,
    said,
    ask: message => {
      const answer = next<never>();
      child.send(message);
      return answer;
    },
    stop: () => stopChild(child),
  };
}
