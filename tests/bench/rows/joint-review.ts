import { join } from 'node:path';
import { fillWithJoints } from '../../support/many-joints.ts';
import type { BenchContext, Benchmark, Figure } from '../harness/figure.ts';
import { addLongJoint, longPass, openStore } from '../harness/long-joint.ts';
import { quantile, show } from '../harness/measure.ts';
import { startDashboard } from '../harness/programs.ts';

const RATE_HZ = 100;
const PASS_S = 20 * 60;
const JOINTS = 10_000;
const AGAIN = 7;
const OPEN_GOAL_MS = 500;
const LIST_GOAL_MS = 300;

function fill(data: string): void {
  const store = openStore(data);
  try {
    const long = { joint: 'J-1', rig: 'rig-1', passS: PASS_S, rateHz: RATE_HZ };
    addLongJoint(store, long, longPass(long));
    fillWithJoints(store, JOINTS);
  } finally {
    store.close();
  }
}

async function timed<T>(http: string, path: string): Promise<{ ms: number; body: T; bytes: number }> {
  const start = performance.now();
  const response = await fetch(http + path);
  const text = await response.text();
  const ms = performance.now() - start;
  if (!response.ok) throw new Error(`${path}: ${response.status} ${text.slice(0, 200)}`);
  return { ms, body: JSON.parse(text) as T, bytes: text.length };
}

const line = (what: string, goalMs: number, ms: number, all: readonly number[], note: string): Figure => ({
  ...{ id: 'REVIEW', what, goal: `< ${goalMs} ms (our own)`, ratio: null, baseline: '–', note },
  subject: all.length > 1 ? `${show(ms, 'ms')} median of ${all.length}` : show(ms, 'ms'),
  verdict: ms < goalMs ? 'met' : 'missed',
});

export const jointReview: Benchmark = {
  id: 'REVIEW',
  title: 'joint review and joint list',
  how: `The built dashboard over a store filled beforehand: a pass of ${PASS_S / 60} minutes at ${RATE_HZ} Hz, and ${JOINTS} joints of two passes each. Timed from the request to the last byte of the answer: a joint opened for review the first time after a start, so that every window of it is cut from its samples, and again; and the first page of the joint list, plain and with filters. Absolute goals: they depend on what else the machine is doing.`,
  run: async (context: BenchContext) => {
    const data = join(context.scratch, 'review');
    fill(data);
    const dashboard = await startDashboard(context, data);
    try {
      const { http } = dashboard;
      // The program's first answer of all compiles it; another joint takes that away.
      await timed(http, '/api/v1/joints/L-00001/review');
      const first = await timed<{ passes: { windows: unknown[]; windowsNote: string }[] }>(
        http,
        '/api/v1/joints/J-1/review',
      );
      const windows = first.body.passes[0]?.windows.length ?? 0;
      if (windows < 30)
        throw new Error(`the review has ${windows} windows: ${first.body.passes[0]?.windowsNote}`);
      const again: number[] = [];
      for (let i = 0; i < AGAIN; i++) again.push((await timed(http, '/api/v1/joints/J-1/review')).ms);
      // A store that has never been listed is looked through once, a little at each asking.
      let asked = 0;
      let newToList = 0;
      for (let unread = 1; unread > 0; asked++) {
        const one = await timed<{ unread: number }>(http, '/api/v1/joint-list?limit=50');
        newToList = Math.max(newToList, one.ms);
        unread = one.body.unread;
      }
      const lists: Figure[] = [
        line(
          `${JOINTS} joints new to the list, the slowest of its first askings`,
          LIST_GOAL_MS,
          newToList,
          [newToList],
          `all were looked through after ${asked} askings.`,
        ),
      ];
      for (const query of ['', '&find=L-0999', '&rig=spread-1/rig-2&deviations=yes', '&incomplete=yes']) {
        const all: number[] = [];
        let rows = 0;
        for (let i = 0; i < AGAIN; i++) {
          const one = await timed<{ joints: unknown[] }>(http, `/api/v1/joint-list?limit=50${query}`);
          all.push(one.ms);
          rows = one.body.joints.length;
        }
        const what = `first page of ${JOINTS} joints${query === '' ? '' : `, ${query.slice(1)}`}`;
        lists.push(
          line(what, LIST_GOAL_MS, quantile(all, 0.5), all, `${rows} rows, first ${show(all[0]!, 'ms')}.`),
        );
      }
      return [
        line(
          `pass of ${PASS_S / 60} min at ${RATE_HZ} Hz opened for review, first time`,
          OPEN_GOAL_MS,
          first.ms,
          [first.ms],
          `${windows} windows, ${show(first.bytes / 1e6, 'MB')}.`,
        ),
        line('the same again', OPEN_GOAL_MS, quantile(again, 0.5), again, 'its windows are kept.'),
        ...lists,
      ];
    } finally {
      await dashboard.stop();
    }
  },
};
