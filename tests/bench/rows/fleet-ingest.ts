import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Ack } from '#core/messages/ack';
import { topicOf } from '#core/topics/topics';
import { binaries, type PostgresServer, startPostgresServer } from '../../support/postgres-server.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { type BenchContext, type Benchmark, type Figure, notMeasured } from '../harness/figure.ts';
import { show } from '../harness/measure.ts';
import { hasMosquitto, startMosquitto } from '../harness/mosquitto.ts';
import { connectMqtt } from '../harness/mqtt-client.ts';
import { cpuSeconds, hasProc, NO_PROC } from '../harness/process-costs.ts';
import { type Program, startNode } from '../harness/programs.ts';
import { RecordChain } from '../harness/record-chain.ts';
import { RECORD_HEADER } from '../harness/record-header.ts';
import { weldSignal } from '../harness/weld-signal.ts';

const RIGS = 8;
const RECORDS = 1000;
const WORKERS = [1, 2, 4];
/** As an edge's durable lane: so many beyond the watermark, so many not confirmed by the broker. */
const WINDOW = 200;
const UNCONFIRMED = 16;
const RESEND_MS = 2000;

const WHAT = 'backlog of 8 rigs through 1, 2 and 4 ingest workers into PostgreSQL';

interface Backlog {
  readonly rig: string;
  readonly stream: string;
  readonly records: readonly string[];
}

function backlogs(): Backlog[] {
  const signal = weldSignal(100, 100);
  return Array.from({ length: RIGS }, (_, i) => {
    const chain = new RecordChain(`rig-${i}`);
    const records = Array.from({ length: RECORDS }, () => chain.next(signal));
    return { rig: chain.rig, stream: records[0]!.stream, records: records.map(one => JSON.stringify(one)) };
  });
}

/** Sends as an edge does until everything is acknowledged. */
async function drain(url: string, { rig, stream, records }: Backlog): Promise<void> {
  const address = { site: RECORD_HEADER.site, rig };
  const client = await connectMqtt(url);
  const topic = topicOf(address, 'record');
  let [upto, next, open, movedMs] = [0, 1, 0, performance.now()];
  const pump = (): void => {
    for (; next <= Math.min(records.length, upto + WINDOW) && open < UNCONFIRMED; next++) {
      open++;
      client.publish(topic, records[next - 1]!, { qos: 1 }, () => {
        open--;
        pump();
      });
    }
  };
  client.on('message', (_topic, payload) => {
    const ack = JSON.parse(payload.toString()) as Ack;
    if (ack.stream !== stream || ack.upto <= upto) return;
    upto = ack.upto;
    movedMs = performance.now();
    pump();
  });
  try {
    await client.subscribeAsync(topicOf(address, 'ack', 'fleet'), { qos: 0 });
    pump();
    await waitUntil(
      () => {
        if (performance.now() - movedMs > RESEND_MS) {
          [next, movedMs] = [upto + 1, performance.now()];
          pump();
        }
        return upto === records.length;
      },
      () => `${rig} to be committed; ${upto} of ${records.length} are`,
      120_000,
    );
  } finally {
    await client.endAsync(true);
  }
}

async function startWorkers(
  { dist }: BenchContext,
  count: number,
  broker: string,
  records: string,
): Promise<Program[]> {
  const workers = Array.from({ length: count }, (_, n) => {
    const rigs = Array.from({ length: RIGS }, (_rig, i) => i).filter(i => i % count === n);
    const share = rigs.map(i => `${RECORD_HEADER.site}/rig-${i}`).join(',');
    const args = ['ingest', '--json', '--log-level', 'info', '--broker', broker, '--records', records];
    return startNode([join(dist, 'girthlog-dashboard.js'), ...args, '--rigs', share]);
  });
  for (const worker of workers) {
    await waitUntil(
      () => worker.stderr().includes('brokerConnected'),
      () => `a worker to be ready; it says: ${worker.stderr()}`,
    );
  }
  return workers;
}

async function measure(
  context: BenchContext,
  count: number,
  postgres: PostgresServer,
  backlog: readonly Backlog[],
): Promise<string[]> {
  const broker = await startMosquitto(context.scratch);
  const workers = await startWorkers(context, count, broker.url, await postgres.database());
  try {
    const workerCpu = (): number => workers.reduce((sum, { child }) => sum + cpuSeconds(child.pid!), 0);
    const before = { workers: workerCpu(), postgres: cpuSeconds(postgres.pid()), ms: performance.now() };
    await Promise.all(backlog.map(one => drain(broker.url, one)));
    const seconds = (performance.now() - before.ms) / 1000;
    const perRecord = (s: number): string => show((1e6 * s) / (RIGS * RECORDS), 'µs');
    return [
      String(count),
      show((RIGS * RECORDS) / seconds, 'records/s'),
      perRecord(workerCpu() - before.workers),
      perRecord(cpuSeconds(postgres.pid()) - before.postgres),
    ];
  } finally {
    for (const worker of workers) await worker.stop();
    await broker.stop();
  }
}

export const fleetIngest: Benchmark = {
  id: 'F1',
  title: 'Ingest workers of a fleet',
  how: `${RIGS} rigs with a backlog of ${RECORDS} records each, of one second and 100 samples of four channels, sent as an edge sends them: ${WINDOW} beyond what is acknowledged, ${UNCONFIRMED} not confirmed. Over Mosquitto, by 1, 2 and 4 ingest workers into one PostgreSQL that flushes every commit; all of it must be acknowledged. Load, broker, workers and database share this machine, so more workers than cores gain nothing here.`,
  fullOnly: true,
  run: async (context: BenchContext): Promise<Figure[]> => {
    const missing = !hasProc
      ? NO_PROC
      : !hasMosquitto()
        ? 'Mosquitto is not installed (apt-get install mosquitto)'
        : existsSync(join(binaries(), 'postgres'))
          ? null
          : 'PostgreSQL is not installed (apt-get install postgresql)';
    if (missing !== null) return [notMeasured('F1', WHAT, 'none', missing)];
    const postgres = await startPostgresServer();
    try {
      const backlog = backlogs();
      const rows: string[][] = [];
      for (const count of WORKERS) rows.push(await measure(context, count, postgres, backlog));
      const [one, , four] = rows as [string[], string[], string[]];
      return [
        {
          ...{ id: 'F1', what: WHAT, goal: 'none', ratio: null, verdict: 'for information' },
          subject: `4 workers ${four[1]}`,
          baseline: `1 worker ${one[1]}`,
          table: {
            caption: `F1, ${WHAT}.`,
            head: [
              'workers',
              'committed and acknowledged',
              'CPU of the workers a record',
              'CPU of PostgreSQL a record',
            ],
            rows,
          },
        },
      ];
    } finally {
      await postgres.end();
    }
  },
};
