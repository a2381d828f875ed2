/** Runs tasks of the trust figures on worker threads: the same program started as a worker. */
import { cpus } from 'node:os';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import type { Procedure } from '#core/procedure/procedure';
import { type Runner, sizeTask, type Task } from '../../support/trust/measure-trust.ts';
import { type Known, TrustWorker } from '../../support/trust/trust-jobs.ts';

/** More would only share what is left of a machine. */
const MOST_THREADS = 8;

type ToWorker = { readonly known: Known } | { readonly at: number; readonly task: Task };
type FromWorker =
  | { readonly at: number; readonly result: unknown }
  | { readonly at: number; readonly error: string };

interface WorkerData {
  readonly trust: true;
  readonly procedure: Procedure;
}

export const isTrustWorker = (): boolean =>
  !isMainThread && (workerData as Partial<WorkerData> | null)?.trust === true;

/** The body of a worker thread. `weld`: another way to come by the same passes. */
export function runTrustWorker(weld?: ConstructorParameters<typeof TrustWorker>[1]): void {
  const worker = new TrustWorker((workerData as WorkerData).procedure, weld);
  let known: Known | null = null;
  const does = (task: Task): unknown => {
    if (task.task === 'learn') return worker.learn(task.job);
    if (task.task === 'size') return sizeTask(task);
    if (known === null) throw new Error('a trial came before what it needs to know');
    return worker.trial(task.job, known);
  };
  parentPort!.on('message', (message: ToWorker) => {
    if ('known' in message) {
      known = message.known;
      return;
    }
    const { at, task } = message;
    let answer: FromWorker;
    try {
      answer = { at, result: does(task) };
    } catch (error) {
      answer = { at, error: error instanceof Error ? (error.stack ?? error.message) : String(error) };
    }
    parentPort!.postMessage(answer);
  });
}

/** One worker a core. `progress` hears how many tasks of a batch are done. */
export class WorkerPool implements Runner {
  private readonly workers: readonly Worker[];
  private readonly progress: (done: number, of: number) => void;

  constructor(program: string, procedure: Procedure, progress: (done: number, of: number) => void) {
    const threads = Math.min(MOST_THREADS, cpus().length);
    const data: WorkerData = { trust: true, procedure };
    this.workers = Array.from({ length: threads }, () => new Worker(program, { workerData: data }));
    this.progress = progress;
  }

  know(known: Known): void {
    for (const worker of this.workers) worker.postMessage({ known } satisfies ToWorker);
  }

  run(tasks: readonly Task[]): Promise<unknown[]> {
    const results = new Array<unknown>(tasks.length);
    let next = 0;
    let done = 0;
    return new Promise((resolve, reject) => {
      const over = (): void => {
        for (const worker of this.workers) {
          worker.removeAllListeners('message');
          worker.removeAllListeners('error');
        }
      };
      const fail = (error: Error): void => {
        over();
        reject(error);
      };
      const give = (worker: Worker): void => {
        if (next < tasks.length) {
          worker.postMessage({ at: next, task: tasks[next]! } satisfies ToWorker);
          next++;
        }
      };
      if (tasks.length === 0) resolve([]);
      for (const worker of this.workers) {
        worker.on('error', fail);
        worker.on('message', (message: FromWorker) => {
          if ('error' in message) {
            fail(new Error(message.error));
            return;
          }
          results[message.at] = message.result;
          done++;
          this.progress(done, tasks.length);
          if (done === tasks.length) {
            over();
            resolve(results);
          } else give(worker);
        });
        give(worker);
      }
    });
  }

  async close(): Promise<void> {
    await Promise.all(this.workers.map(worker => worker.terminate()));
  }
}
