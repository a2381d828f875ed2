/** A small company: simulated rigs with an edge each, a broker cluster, ingest workers, PostgreSQL and InfluxDB. */
import { join } from 'node:path';
import { ADDRESS, writeConfig } from '../../support/edge-bench.ts';
import { type InfluxServer, startInfluxServer } from '../../support/influx.ts';
import { type NatsCluster, startNatsCluster } from '../../support/nats.ts';
import { keptConnection, type PostgresServer, startPostgres } from '../../support/postgres.ts';
import { type RunningProgram, startProgram } from '../../support/programs.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { fleetMarks } from './fleet-store.ts';
import { type NumberedRig, startNumberedRigs } from './numbered-rig.ts';
import { newestCommitted } from './stores.ts';

export const STORE = 'fleet';

export interface FleetEdge {
  readonly rig: NumberedRig;
  readonly file: string;
  readonly program: RunningProgram;
}

export interface Fleet {
  readonly brokers: NatsCluster;
  readonly postgres: PostgresServer;
  readonly influx: InfluxServer;
  readonly records: string;
  readonly edges: readonly FleetEdge[];
  /** The rigs of worker `n` of `workers`, dealt out in turn. */
  readonly startWorker: (n: number, workers: number) => Promise<RunningProgram>;
  /** Resolves when every rig has `batches` more in the database than when asked. */
  readonly progress: (batches: number) => Promise<void>;
  /** The rigs have fallen silent: all that the edges have is in the database, and the edges have ended. */
  readonly allTaken: () => Promise<void>;
}

export async function makeFleet(seed: number, rigCount: number): Promise<Fleet> {
  const [brokers, postgres, influx] = await Promise.all([
    startNatsCluster(),
    startPostgres(),
    startInfluxServer(),
  ]);
  const records = await postgres.database();
  const ask = keptConnection(records);
  const samples = `${influx.url}/welds`;
  const rigs = await startNumberedRigs(rigCount, { seed, rateHz: 50 });
  const startWorker = async (n: number, workers: number): Promise<RunningProgram> => {
    const share = rigs.filter((_, i) => i % workers === n).map(({ id }) => `${ADDRESS.site}/${id}`);
    const program = startProgram(
      'girthlog-dashboard',
      ['ingest', '--json', '--store', STORE, '--rigs', share.join(',')],
      {
        GIRTHLOG_INGEST_BROKER: brokers.urls,
        GIRTHLOG_INGEST_RECORDS: records,
        GIRTHLOG_INGEST_SAMPLES: samples,
      },
    );
    await waitUntil(
      () => program.stdout().includes('"ready":true'),
      () => `worker ${n} to be ready; it says: ${program.stderr()}`,
    );
    started.push(program);
    return program;
  };
  const started: RunningProgram[] = [];
  const edges = rigs.map((rig): FleetEdge => {
    const file = join(tempDir(), 'edge.db');
    const config = writeConfig(tempDir(), rig.url, brokers.urls);
    const settings = [`rig.rig=${rig.id}`, `store.path=${file}`, `store.required_stores=${STORE}`];
    const flags = [...settings, 'store.batch_s=0.25', 'log.level=warn'].flatMap(one => ['--set', one]);
    return { rig, file, program: startProgram('girthlog-edge', ['run', '--config', config, ...flags]) };
  });
  const said = (): string =>
    started.map(({ stderr }) => `worker: ${stderr().slice(-1500)}`).join('\n') +
    edges.map(({ rig, program }) => `${rig.id}: ${program.stderr().slice(-600)}`).join('\n');
  return {
    ...{ brokers, postgres, influx, records, edges, startWorker },
    progress: async batches => {
      const before = await fleetMarks(ask);
      await waitUntil(
        async () => {
          const marks = await fleetMarks(ask);
          return rigs.every(({ id }) => (marks.get(id) ?? 0) >= (before.get(id) ?? 0) + batches);
        },
        () => `${batches} more batches of every rig; ${said()}`,
        60_000,
      );
    },
    allTaken: async () => {
      const isTaken = async (): Promise<boolean> => {
        const marks = await fleetMarks(ask);
        return edges.every(({ rig, file }) => marks.get(rig.id) === newestCommitted(file));
      };
      const signal = (name: NodeJS.Signals): void => {
        for (const { program } of edges) program.child.kill(name);
      };
      await waitUntil(
        async () => {
          if (!(await isTaken())) return false;
          // What an edge still says of itself while the books are opened would make them differ.
          signal('SIGSTOP');
          if (await isTaken()) return true;
          signal('SIGCONT');
          return false;
        },
        () => `the database to have what the edges have; ${said()}`,
        60_000,
      );
      for (const { program } of edges) await program.kill();
    },
  };
}
