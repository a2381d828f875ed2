import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import type { Shift } from '#core/messages/api-shift';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { fillWithShift } from '../../support/full-shift.ts';
import type { BenchContext, Benchmark } from '../harness/figure.ts';
import { quantile, show } from '../harness/measure.ts';
import { startDashboard } from '../harness/programs.ts';

const RIGS = 16;
const JOINTS = 170;
const AGAIN = 9;
const GOAL_MS = 300;

export const shift: Benchmark = {
  id: 'SHIFT',
  title: 'one shift',
  how: `The built dashboard over a store with one shift of ${RIGS} rigs, each with a pass of each of ${JOINTS} joints. Timed from the request to the last byte of the answer; nothing of it is kept between two requests. An absolute goal: it depends on what else the machine is doing.`,
  run: async (context: BenchContext) => {
    const data = join(context.scratch, 'shift');
    mkdirSync(data, { recursive: true });
    const store = new SqliteStore({
      directory: data,
      sqlite: Sqlite,
      report: () => {},
      now: () => new Date(),
    });
    store.open();
    try {
      fillWithShift(store, { rigs: RIGS, joints: JOINTS, incomplete: 5 });
    } finally {
      store.close();
    }
    const dashboard = await startDashboard(context, data);
    try {
      const all: number[] = [];
      for (let i = 0; i < AGAIN; i++) {
        const start = performance.now();
        const response = await fetch(`${dashboard.http}/api/v1/shift?date=2026-05-12`);
        const read = (await response.json()) as Shift;
        all.push(performance.now() - start);
        if (read.joints.length !== JOINTS) throw new Error(`the shift has ${read.joints.length} joints`);
      }
      const ms = quantile(all, 0.5);
      return [
        {
          id: 'SHIFT',
          what: `a shift of ${RIGS} rigs and ${JOINTS} joints`,
          goal: `< ${GOAL_MS} ms (our own)`,
          ratio: null,
          baseline: '–',
          subject: `${show(ms, 'ms')} median of ${all.length}`,
          verdict: ms < GOAL_MS ? 'met' : 'missed',
          note: `first after the start ${show(all[0]!, 'ms')}.`,
        },
      ];
    } finally {
      await dashboard.stop();
    }
  },
};
