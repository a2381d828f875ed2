/** Beyond one machine: broker nodes, ingest workers and the database die under load, and the books of every record balance. */
import { describe, expect } from 'vitest';
import { influxMissing } from '../support/influx.ts';
import { natsMissing } from '../support/nats.ts';
import { postgresMissing } from '../support/postgres.ts';
import { waitUntil } from '../support/wait-until.ts';
import { account } from './harness/account.ts';
import { type Fleet, makeFleet, STORE } from './harness/fleet.ts';
import { readFleetStore } from './harness/fleet-store.ts';
import { afterSamples } from './harness/moment.ts';
import { faultTest } from './harness/random-test.ts';

const missing = natsMissing || postgresMissing || influxMissing;

/** The rigs fall silent, everything drains; every record is in the database once, every sample in InfluxDB once. */
async function balance(fleet: Fleet): Promise<void> {
  await fleet.edges[0]!.rig.stop();
  for (const { program } of fleet.edges) expect(program.child.exitCode).toBeNull();
  await fleet.allTaken();
  const store = await readFleetStore(fleet.records);
  expect(store.streams).toHaveLength(fleet.edges.length);
  for (const { rig, file } of fleet.edges) {
    const books = await account(rig, file, () => store, STORE);
    expect(books.stored.length, rig.id).toBeGreaterThan(200);
    expect(books.delivered, rig.id).toEqual(books.stored);
    expect(books.holes, rig.id).toEqual([]);
    expect(books.rejected, rig.id).toBe(0);
    expect(books.truck!.records, rig.id).toHaveLength(books.edge.batches.length);
    await waitUntil(
      async () => (await samplesInInflux(fleet.influx.url, rig.id)) === books.delivered.length,
      `every sample of ${rig.id} to be in the sample store`,
      30_000,
    );
  }
}

async function samplesInInflux(url: string, rig: string): Promise<number> {
  const q = `SELECT count(welding_current_a) FROM samples WHERE rig = '${rig}'`;
  const answer = await fetch(`${url}/query?${new URLSearchParams({ db: 'welds', q })}`);
  const body = (await answer.json()) as { results: { series?: { values: [string, number][] }[] }[] };
  return body.results[0]?.series?.[0]?.values[0]?.[1] ?? 0;
}

describe.skipIf(missing)('a fleet', () => {
  faultTest(
    'loses broker nodes and ingest workers under load: nothing is lost, nothing comes twice',
    { seeds: 10, timeoutMs: 240_000 },
    async random => {
      const fleet = await makeFleet(random.seed, 4);
      const { nodes } = fleet.brokers;
      const first = fleet.edges[0]!.rig;
      const workers = [await fleet.startWorker(0, 2), await fleet.startWorker(1, 2)];
      await fleet.progress(4);
      // A node of the cluster: who was connected to it finds another.
      const node = random.whole(0, 2);
      await afterSamples(first, random.whole(1, 40));
      await nodes[node]!.kill();
      await fleet.progress(4);
      // A worker, while the cluster is one short; its supervisor starts it again.
      const worker = random.whole(0, 1);
      await afterSamples(first, random.whole(1, 40));
      await workers[worker]!.kill();
      await afterSamples(first, random.whole(1, 40));
      workers[worker] = await fleet.startWorker(worker, 2);
      await fleet.progress(4);
      nodes[node]!.start();
      await fleet.brokers.whole();
      // Another node and the other worker, at once.
      await Promise.all([nodes[(node + 1) % 3]!.kill(), workers[1 - worker]!.kill()]);
      await afterSamples(first, random.whole(1, 40));
      workers[1 - worker] = await fleet.startWorker(1 - worker, 2);
      await fleet.progress(4);
      await balance(fleet);
    },
  );
});
