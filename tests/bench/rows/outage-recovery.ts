import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { BACKLOG_RATE_HZ, type Backlog, drain, fillBacklog } from '../harness/backlog.ts';
import { atMost, type BenchContext, type Benchmark } from '../harness/figure.ts';
import { ratioOf, show, spreadOf } from '../harness/measure.ts';
import { startBroker, startDashboard } from '../harness/programs.ts';
import { RECORD_HEADER } from '../harness/record-header.ts';
import { startRole } from '../harness/role.ts';

const HOURS = 1;
const HOURS_FULL = 10;
const ROUNDS = 3;
const REAL_TIME_GOAL = 40_000;

/** Every sample of the backlog stands in the store that has acknowledged it. */
function mustHold(data: string, rig: string, startUs: number, seconds: number): void {
  const store = new SqliteStore({
    ...{ directory: data, sqlite: Sqlite, report: () => {}, now: () => new Date() },
    readOnly: true,
  });
  store.open();
  const toUs = startUs + seconds * 1e6 - 1;
  const span = store.sampleSpan({ site: RECORD_HEADER.site, rig }, { kind: 'record', fromUs: startUs, toUs });
  store.close();
  const kept = span?.chunks.filter(({ firstUs }) => firstUs >= startUs && firstUs <= toUs) ?? [];
  const samples = kept.reduce((sum, { n }) => sum + n, 0);
  if (samples === seconds * BACKLOG_RATE_HZ) return;
  throw new Error(`${rig}: ${samples} of ${seconds * BACKLOG_RATE_HZ} samples are stored`);
}

export const outageRecovery: Benchmark = {
  id: 'G13',
  title: 'outage recovery',
  how: `An edge's store filled with ${HOURS} h (--full: ${HOURS_FULL} h) of batches of 1 s at ${BACKLOG_RATE_HZ} Hz that nobody has acknowledged; the built edge on it, and the built dashboard with its broker and an empty place for the rig. Timed from the edge's connection to the acknowledgement of the last batch, each committed with synchronous=FULL before its acknowledgement. Baseline: a sink of the dashboard's own parts (decoding, hash, schema, store) that acknowledges first and commits then. Afterwards the edge must hold all of it acknowledged, which it does only for hashes that are its own, and the store must hold every sample.`,
  run: async (context: BenchContext) => {
    const seconds = (context.full ? HOURS_FULL : HOURS) * 3600;
    const folder = (name: string): string => join(context.scratch, `outage-${name}`);
    const took = { commitFirst: [] as number[], ackFirst: [] as number[] };
    const dashboard = await startDashboard(context, folder('dashboard'));
    const broker = await startBroker(context);
    const mqtt = `mqtt://127.0.0.1:${broker.port}`;
    const sink = await startRole(context, 'ack-first', [mqtt, folder('sink')]);
    const drained: Backlog[] = [];
    try {
      for (let round = 0; round < ROUNDS; round++) {
        const once = async (who: 'commitFirst' | 'ackFirst'): Promise<void> => {
          const rig = `rig-${round}`;
          const backlog = fillBacklog(folder(`${who}-${round}`), rig, seconds);
          took[who].push(await drain(context, who === 'ackFirst' ? mqtt : dashboard.mqtt, backlog));
          if (who === 'commitFirst') drained.push(backlog);
        };
        const turns = ['commitFirst', 'ackFirst'] as const;
        for (const who of round % 2 === 0 ? turns : [...turns].reverse()) await once(who);
      }
    } finally {
      await sink.stop();
      await broker.stop();
      await dashboard.stop();
    }
    for (const { rig, startUs } of drained) {
      mustHold(folder('dashboard'), rig, startUs, seconds);
    }
    const ratio = ratioOf(took.commitFirst, took.ackFirst);
    const speed = spreadOf(took.commitFirst.map(s => seconds / s)).median;
    const subject = show(spreadOf(took.commitFirst).median, 's');
    const hours = `${seconds / 3600} h`;
    return [
      {
        id: 'G13',
        what: `backlog of ${hours}, committed before the acknowledgement, against real time`,
        goal: `≥ ${REAL_TIME_GOAL}×`,
        ratio: spreadOf(took.commitFirst.map(s => seconds / s)),
        subject,
        baseline: hours,
        verdict: speed >= REAL_TIME_GOAL ? 'met' : 'missed',
        note: `${Math.round(seconds / spreadOf(took.commitFirst).median)} batches a second, each hashed, checked against its schema and the chain, decoded and committed.`,
      },
      {
        id: 'G13',
        what: 'commit before acknowledgement, against acknowledgement first',
        goal: '≤ 1.15×',
        ratio,
        subject,
        baseline: show(spreadOf(took.ackFirst).median, 's'),
        verdict: atMost(ratio, 1.15),
      },
    ];
  },
};
