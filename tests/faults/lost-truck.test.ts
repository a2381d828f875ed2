/** A truck's store is gone, or is the one of an hour ago: the edge fills it again, without a person. */
import { cpSync, rmSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { waitUntil } from '../support/wait-until.ts';
import { makeStation, type Station } from './harness/station.ts';

async function taken(station: Station, more: number): Promise<void> {
  const before = station.taken();
  await waitUntil(() => station.taken() >= before + more, 'the truck to take over batches', 40_000);
}

/** Stops the truck, does `harm` to its data and starts it again. */
async function harmed(silent: boolean, harm: (station: Station, copy: string) => void): Promise<void> {
  const station = await makeStation({ seed: 1, rateHz: 100 });
  const edge = station.startEdge();
  let truck = await station.startTruck();
  await taken(station, 20);
  await truck.stop();
  const copy = `${station.truckData}-copy`;
  cpSync(station.truckData, copy, { recursive: true });
  truck = await station.startTruck();
  await taken(station, 20);
  // Nothing new comes that could say where the store stands: then health alone does.
  if (silent) await station.rig.stop();
  if (silent) await station.allTaken(() => edge);
  await truck.stop();
  harm(station, copy);
  await station.startTruck();
  if (!silent) await taken(station, 20);
  if (!silent) await station.rig.stop();
  await station.allTaken(() => edge);
  expect(edge.stderr()).toContain('"ackRewound"');
  expect(await edge.stop()).toBe(0);
  const books = await station.account();
  expect(books.delivered).toEqual(books.stored);
  // From the first on; only what the edge said while it was stopping may still wait.
  const seqs = books.truck!.records.map(({ seq }) => seq);
  expect(seqs).toEqual(seqs.map((_, i) => i + 1));
  expect(seqs.length).toBeGreaterThanOrEqual(books.edge.batches.length - 2);
  expect(books.holes).toEqual([]);
}

const lose = (station: Station): void => rmSync(station.truckData, { recursive: true });
const restore = (station: Station, copy: string): void => {
  rmSync(station.truckData, { recursive: true });
  cpSync(copy, station.truckData, { recursive: true });
};

describe('the store of a truck', () => {
  it('that was lost has everything again, from the first batch on', () => harmed(false, lose));

  it('that was restored from a copy has everything since', () => harmed(false, restore));

  it('that was lost while the rig is silent is filled all the same', () => harmed(true, lose));
});
