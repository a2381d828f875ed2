/** The whole measurement: learn, size the faults, run the trials; whoever calls says how jobs are run. */
import { calibrate, type SizesOf } from './calibrate.ts';
import { type GoodSpread, goodSpread, MAIN_CHANNELS } from './reference-windows.ts';
import type { Trial } from './trial.ts';
import { TRUST_FAULTS } from './trust-faults.ts';
import { type Known, type Lesson, type Lessons, pairKey, type Sizes, sizeKey } from './trust-jobs.ts';
import { type Amount, type Job, learnJobs, PASSES, pairs, trialJobs } from './trust-plan.ts';

/** Everything that can be done apart from everything else. */
export type Task =
  | { readonly task: 'learn'; readonly job: Extract<Job, { kind: 'learn' }> }
  | { readonly task: 'size'; readonly fault: string; readonly pass: string; readonly sigma: number }
  | { readonly task: 'trial'; readonly job: Exclude<Job, { kind: 'learn' }> };

/** Results in the order of the tasks. `known` holds for all that follow. */
export interface Runner {
  know(known: Known): void;
  run(tasks: readonly Task[]): Promise<unknown[]>;
}

export interface Measured {
  readonly amount: Amount;
  /** By rig and pass type. */
  readonly spreads: Readonly<Record<string, GoodSpread>>;
  readonly sizes: Sizes;
  readonly trials: readonly Trial[];
  /** Passes learned from, and how many of them taught nothing. */
  readonly lessons: number;
  readonly lessonsRefused: number;
}

export async function measureTrust(amount: Amount, runner: Runner): Promise<Measured> {
  const learn = learnJobs(amount);
  const taught = (await runner.run(learn.map(job => ({ task: 'learn', job }) as Task))) as Lesson[];
  const lessons: Record<string, Lesson[]> = {};
  learn.forEach((job, i) => {
    const key = pairKey(job.rig, job.pass);
    lessons[key] = [...(lessons[key] ?? []), taught[i]!];
  });
  const spreads = Object.fromEntries(
    pairs().map(({ rig, pass }) => {
      const key = pairKey(rig, pass);
      return [key, goodSpread(lessons[key]!.flatMap(({ rows }) => (rows.length > 1 ? [rows] : [])))];
    }),
  );
  const sizing = TRUST_FAULTS.flatMap(fault =>
    PASSES.map(pass => {
      const sigma = spreads[pairKey(fault.rig, pass)]!.sigma[MAIN_CHANNELS.indexOf(fault.main)]!;
      return { task: 'size', fault: fault.id, pass, sigma } as Task & { task: 'size' };
    }),
  );
  const sized = (await runner.run(sizing)) as SizesOf[];
  const sizes = Object.fromEntries(sizing.map(({ fault, pass }, i) => [sizeKey(fault, pass), sized[i]!]));
  runner.know({ lessons: withoutRows(lessons), sizes });
  const jobs = trialJobs(amount);
  const trials = (await runner.run(jobs.map(job => ({ task: 'trial', job }) as Task))) as Trial[];
  return {
    amount,
    spreads,
    sizes,
    trials,
    lessons: taught.length,
    lessonsRefused: taught.filter(({ drift }) => !drift.teaches.good).length,
  };
}

/** The reference windows are not needed any more. */
const withoutRows = (lessons: Lessons): Lessons =>
  Object.fromEntries(
    Object.entries(lessons).map(([key, list]) => [key, list.map(lesson => ({ ...lesson, rows: [] }))]),
  );

export const sizeTask = ({ fault, pass, sigma }: Extract<Task, { task: 'size' }>): SizesOf =>
  calibrate(TRUST_FAULTS.find(({ id }) => id === fault)!, pass, sigma);
