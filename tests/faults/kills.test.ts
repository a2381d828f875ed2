/** The edge dies without warning: what was shown as stored is stored, no number is used twice. */
import Database from 'better-sqlite3';
import { describe, expect } from 'vitest';
import { waitUntil } from '../support/wait-until.ts';
import { makeLoopDisk, noMounts } from './harness/loop-disk.ts';
import { afterSamples } from './harness/moment.ts';
import { faultTest } from './harness/random-test.ts';
import { type Heard, makeStation, type Station } from './harness/station.ts';

/** UTC of the newest batch that is on the disk, ms. */
function storedUtcMs(file: string): number {
  const db = new Database(file, { readonly: true });
  const newest = db.prepare('SELECT max(closed_utc_ms) FROM batch').pluck().get() as number | null;
  db.close();
  return newest ?? 0;
}

function shownStored(heard: Heard): number {
  const storedTo = heard.live()?.buffer.storedTo;
  return storedTo ? Date.parse(storedTo) : 0;
}

async function streams(station: Station, heard: Heard, because: () => string): Promise<void> {
  const before = station.committed();
  heard.client.received.length = 0;
  await waitUntil(
    () => station.committed() >= before + 3 && shownStored(heard) > 0,
    () => `the edge to record; ${because()}`,
  );
}

/** It records again, the rig stops, and what waits is delivered by an edge started anew: then the books are made up. */
async function booksAtTheEnd(station: Station, heard: Heard, last: ReturnType<Station['startEdge']>) {
  await streams(station, heard, last.stderr);
  await station.rig.stop();
  expect(await last.stop()).toBe(0);
  const edge = station.startEdge();
  await station.allTaken(() => edge);
  return { edge, books: await station.account() };
}

describe('the edge is killed', () => {
  faultTest('at any moment: nothing that was shown as stored is lost', { seeds: 20 }, async random => {
    const station = await makeStation({ seed: random.seed, rateHz: 100 });
    await station.startTruck();
    const heard = await station.listen();
    let edge = station.startEdge();
    const kills = 5;
    for (let kill = 1; kill <= kills; kill++) {
      await streams(station, heard, edge.stderr);
      await afterSamples(station.rig, random.whole(3, 200));
      const shown = shownStored(heard);
      await edge.kill();
      // A millisecond is what rounding may cost.
      expect(storedUtcMs(station.edgeFile)).toBeGreaterThanOrEqual(shown - 1);
      edge = station.startEdge();
    }
    const { books } = await booksAtTheEnd(station, heard, edge);
    // Missing is only what came while no edge ran.
    expect(books.holes.length).toBeLessThanOrEqual(kills);
    expect(books.delivered).toEqual(books.stored);
    expect(books.rejected).toBe(0);
  });

  faultTest(
    'again and again while it starts: no lock and no number is left behind',
    { seeds: 5 },
    async random => {
      const station = await makeStation({ seed: random.seed, rateHz: 100 });
      await station.startTruck();
      const heard = await station.listen();
      for (let start = 1; start <= 20; start++) {
        const edge = station.startEdge();
        // Some before the store is open, some while it is checked, some with a batch half written.
        await afterSamples(station.rig, random.whole(1, 60));
        await edge.kill();
      }
      const edge = station.startEdge();
      const { books } = await booksAtTheEnd(station, heard, edge);
      expect(books.delivered).toEqual(books.stored);
    },
  );
});

describe.skipIf(noMounts())('the power is cut', () => {
  faultTest(
    'under the edge: what was shown as stored is on the disk, and no number gets a second content',
    { seeds: 17 },
    async random => {
      const disk = makeLoopDisk();
      const station = await makeStation({ seed: random.seed, rateHz: 100, edgeDir: disk.dir });
      await station.startTruck();
      const heard = await station.listen();
      let edge = station.startEdge();
      const cuts = 3;
      for (let cut = 1; cut <= cuts; cut++) {
        await streams(station, heard, edge.stderr);
        await afterSamples(station.rig, random.whole(3, 200));
        const shown = shownStored(heard);
        disk.cutPower();
        await edge.kill();
        disk.powerUp();
        expect(storedUtcMs(station.edgeFile)).toBeGreaterThanOrEqual(shown - 1);
        // What the truck has taken over, the edge must still have.
        expect(station.committed()).toBeGreaterThanOrEqual(station.taken());
        edge = station.startEdge();
      }
      const { books, edge: last } = await booksAtTheEnd(station, heard, edge);
      expect(books.holes.length).toBeLessThanOrEqual(cuts);
      expect(books.delivered).toEqual(books.stored);
      expect(last.stderr()).not.toContain('storeQuarantined');
    },
  );
});
