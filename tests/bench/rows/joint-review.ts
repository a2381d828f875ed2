import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import type { EngineAssignment } from '#core/pass/engine-api';
import { procedureSchema } from '#core/procedure/procedure';
import { verifyRecord } from '../../../dashboard/server/ingest/verify-record.ts';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { fillWithJoints } from '../../support/many-joints.ts';
import { recordedPass } from '../../support/recorded-pass.ts';
import { EXAMPLE_PROCEDURE, START_MS } from '../../support/test-records.ts';
import type { BenchContext, Benchmark, Figure } from '../harness/figure.ts';
import { quantile, show } from '../harness/measure.ts';
import { startDashboard } from '../harness/programs.ts';
import { seededRandom } from '../harness/weld-signal.ts';

const RATE_HZ = 100;
const PASS_S = 20 * 60;
const JOINTS = 10_000;
const AGAIN = 7;
const OPEN_GOAL_MS = 500;
const LIST_GOAL_MS = 300;
const ADDRESS = { site: 'spread-1', rig: 'rig-1' };

/** Twenty minutes of arc without a break, four channels with noise. */
function longPass() {
  const random = seededRandom(7);
  const n = (PASS_S + 2) * RATE_HZ;
  const tUs = Float64Array.from({ length: n }, (_, i) => START_MS * 1000 + (i * 1e6) / RATE_HZ);
  const lit = (value: number, spread: number) =>
    Float64Array.from({ length: n }, (_, i) =>
      i < PASS_S * RATE_HZ ? Math.round(1000 * (value + spread * (random() - 0.5))) / 1000 : 0,
    );
  return {
    n,
    tUs,
    lengthUs: null,
    columns: {
      weldingCurrent: lit(236, 20),
      arcVoltage: lit(24, 2),
      wireFeedSpeed: lit(171, 2),
      travelSpeed: lit(0.75, 0.02),
    },
  };
}

function fill(data: string): void {
  mkdirSync(data, { recursive: true });
  const store = new SqliteStore({ directory: data, sqlite: Sqlite, report: () => {}, now: () => new Date() });
  store.open();
  try {
    const at = new Date(START_MS).toISOString();
    const procedure = procedureSchema.parse(EXAMPLE_PROCEDURE);
    store.addProcedure(procedure, at, 'bench');
    store.ensureRig(ADDRESS, at, 16);
    store.setRigOrigin(ADDRESS, 'simulated');
    const work = {
      ...{ joint: 'J-1', side: 'B' as const, pass: 'fill 1', outsideDiameterMm: 610, startDegrees: 0 },
      ...{ procedureId: procedure.id, procedureRevision: procedure.revision },
    };
    store.addAssignment({ ...ADDRESS, id: 'bench-1', at, author: 'bench', work });
    const assignment: EngineAssignment = { id: 'bench-1', ...work, procedure };
    const { records } = recordedPass({
      ...{ assignment, chunk: longPass(), stream: 'f'.repeat(32), samplePeriodS: 1 / RATE_HZ },
      ...ADDRESS,
    });
    const verified = records.map(message => {
      const read = verifyRecord(ADDRESS, message);
      if (!read.ok) throw new Error(`a record made here is refused: ${read.event}`);
      if (read.record.unreadable !== null) throw new Error(read.record.unreadable);
      return read.record;
    });
    for (let from = 0; from < verified.length; from += 100) {
      store.commitRecords(verified.slice(from, from + 100), at);
    }
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
