import type { FaultSection } from './fault-row.ts';

const FLEET = 'tests/faults/fleet.test.ts';
const WORKER = 'tests/integration/ingest-worker.test.ts';

export const FLEET_ROWS: readonly FaultSection[] = [
  [
    'Beyond one machine',
    [
      {
        fault: 'Broker nodes and ingest workers are killed',
        how: 'SIGKILL of two nodes of a cluster of three, one after the other, and of both workers, under load',
        holds:
          'Edges and workers find another node; a worker that starts again goes on; every record is in PostgreSQL once, every sample in InfluxDB once',
        tests: [
          [FLEET, 'loses broker nodes and ingest workers under load: nothing is lost, nothing comes twice'],
        ],
        once: '4 rigs, 2 node kills, 2 worker kills',
        all: '10 seeds',
        open: null,
      },
      {
        fault: 'The database is killed, the sample store is away',
        how: 'SIGKILL of every process of PostgreSQL; influxd killed',
        holds:
          'Nothing is acknowledged that is not in the database; the worker says that it is not ready, and goes on by itself; without the sample store it goes on at once, samples follow',
        tests: [
          [WORKER, 'acknowledges nothing while the database is away, and goes on by itself'],
          [WORKER, 'goes on without the sample store, which catches up'],
        ],
        once: 'once',
        all: 'once',
        open: null,
      },
    ],
  ],
];
