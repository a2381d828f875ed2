import { join } from 'node:path';
import { manyJoint } from '../../support/many-joints.ts';
import type { BenchContext, Benchmark } from '../harness/figure.ts';
import { type GrowthPoint, growthFigure } from '../harness/growth.ts';
import { fillStore } from '../harness/joint-store.ts';
import { startDashboard } from '../harness/programs.ts';

const SIZES = [10, 100, 1000, 10_000];
/** As many rows as the smallest store has. */
const ROWS = 10;
const AGAIN = 25;

async function ask<T>(http: string, path: string): Promise<{ ms: number; body: T }> {
  const start = performance.now();
  const response = await fetch(http + path);
  const text = await response.text();
  const ms = performance.now() - start;
  if (!response.ok) throw new Error(`${path}: ${response.status} ${text.slice(0, 200)}`);
  return { ms, body: JSON.parse(text) as T };
}

interface Question {
  readonly what: string;
  readonly law: 'linear' | 'constant';
  readonly path: (joints: number) => string;
  readonly isRight: (body: never, joints: number) => boolean;
}

const QUESTIONS: readonly Question[] = [
  {
    what: 'a page of the joint list',
    law: 'constant',
    path: () => `/api/v1/joint-list?limit=${ROWS}`,
    isRight: ({ joints: rows }: { joints: unknown[] }) => rows.length === ROWS,
  },
  {
    what: 'a search in the joint list',
    law: 'linear',
    path: joints => `/api/v1/joint-list?limit=${ROWS}&find=${manyJoint(joints - 1)}`,
    isRight: ({ joints: rows }: { joints: { joint: string }[] }, joints) =>
      rows.length === 1 && rows[0]!.joint === manyJoint(joints - 1),
  },
  {
    what: 'a joint',
    law: 'constant',
    path: joints => `/api/v1/joints/${manyJoint(joints >> 1)}`,
    isRight: ({ passes }: { passes: unknown[] }) => passes.length === 2,
  },
];

/** ms until a store that has never been listed has looked all of its joints through. */
async function lookThrough(http: string): Promise<number> {
  // The first answer of all compiles the program's ways.
  await ask(http, '/api/v1/rigs');
  const start = performance.now();
  for (let unread = 1; unread > 0; ) {
    unread = (await ask<{ unread: number }>(http, `/api/v1/joint-list?limit=${ROWS}`)).body.unread;
  }
  return performance.now() - start;
}

/** ms of the quickest answer of each store to each question; the stores take turns. */
async function quickest(stores: readonly { http: string; joints: number }[]): Promise<number[][]> {
  const least = QUESTIONS.map(() => stores.map(() => Number.POSITIVE_INFINITY));
  for (let round = -2; round < AGAIN; round++) {
    for (const [q, { path, isRight }] of QUESTIONS.entries()) {
      for (const [i, { http, joints }] of stores.entries()) {
        const { ms, body } = await ask<never>(http, path(joints));
        if (!isRight(body, joints)) throw new Error(`${path(joints)} does not hold what was asked for`);
        if (round >= 0) least[q]![i] = Math.min(least[q]![i]!, ms);
      }
    }
  }
  return least;
}

export const jointGrowth: Benchmark = {
  id: 'JOINTS',
  title: 'cost against the number of joints',
  how: `Built dashboards over stores of ${SIZES.join(', ')} joints of two passes each, all at once: the file; looking all joints through for the list, which a new store does once; then, the stores in turns, a page of ${ROWS} rows of the list, the page that a search finds, and one joint: the quickest of ${AGAIN} answers to each, which a busy machine spoils least. A page and a joint are to cost the same however many there are; a search looks for letters anywhere in a name, through all of them.`,
  run: async (context: BenchContext) => {
    const kilobytes: number[] = [];
    const lookedThrough: number[] = [];
    const running: { http: string; joints: number; stop: () => Promise<void> }[] = [];
    let answers: number[][] = [];
    try {
      for (const joints of SIZES) {
        const data = join(context.scratch, `joints-${joints}`);
        kilobytes.push(fillStore(data, joints) / 1000);
        const { http, stop } = await startDashboard(context, data);
        running.push({ http, joints, stop });
        lookedThrough.push(await lookThrough(http));
      }
      answers = await quickest(running);
    } finally {
      for (const { stop } of running) await stop();
    }
    const points = (costs: readonly number[]): GrowthPoint[] =>
      SIZES.map((size, i) => ({ size, cost: costs[i]! }));
    return [
      ...QUESTIONS.map(({ what, law }, q) =>
        growthFigure({
          ...{ id: 'JOINTS', what, law, points: points(answers[q]!) },
          ...{ sizes: 'joints', costs: 'answer', unit: 'ms' },
        }),
      ),
      growthFigure({
        ...{ id: 'JOINTS', what: 'looking all joints through for the list', law: 'linear' },
        ...{ sizes: 'joints', costs: 'time', unit: 'ms', one: 'a joint', points: points(lookedThrough) },
      }),
      growthFigure({
        ...{ id: 'JOINTS', what: 'the store', law: 'linear', points: points(kilobytes) },
        ...{ sizes: 'joints', costs: 'file', unit: 'kB', one: 'a joint' },
      }),
    ];
  },
};
