/**
 * Sixteen rigs at many times real speed, hurt at random for as long as asked. In shifts: after each the rigs fall
 * silent, everything drains, and the books of every rig are made up; edges and truck run on.
 */
import { performance } from 'node:perf_hooks';
import { describe, expect, it } from 'vitest';
import { verifyChain } from '../../support/verify-chain.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { type NumberedRig, startNumberedRigs } from '../harness/numbered-rig.ts';
import { holesIn, numbersOf } from '../harness/numbered-samples.ts';
import { FaultRandom } from '../harness/random-test.ts';
import {
  eventsIn,
  newestCommitted,
  readEdgeStore,
  readTruckStore,
  samplesIn,
  takenByRig,
} from '../harness/stores.ts';
import { Crew } from './crew.ts';
import { soakOptions } from './soak-options.ts';

const SHIFT_MINUTES = 5;
const options = soakOptions();

interface Sums {
  produced: number;
  delivered: number;
  waiting: number;
  rejected: number;
  pruned: number;
  missing: number;
}

/** Adds the books of one rig for the batches after `before`; returns its newest batch. */
async function audit(rig: NumberedRig, crew: Crew, before: number, sums: Sums): Promise<number> {
  const edge = crew.edges.find(one => one.rig === rig.id)!;
  const produced = await rig.samples();
  const store = readEdgeStore(edge.file);
  const { streams, conflicts } = readTruckStore(crew.truckData);
  expect(conflicts, 'numbers with two contents').toBe(0);
  const truck = streams.find(({ stream }) => stream === store.stream);
  expect(truck, `the stream of ${rig.id} at the truck`).toBeDefined();
  expect(verifyChain(store.stream, store.batches), rig.id).toBeNull();
  const taken = truck!.records.filter(({ seq }) => seq <= truck!.upto);
  expect(verifyChain(store.stream, taken), rig.id).toBeNull();
  const hashes = new Map(store.batches.map(({ seq, hash }) => [seq, hash]));
  for (const { seq, hash } of taken) expect(hashes.get(seq), `${rig.id} batch ${seq}`).toBe(hash);
  const shift = store.batches.filter(({ seq }) => seq > before);
  const atTruck = taken.filter(({ seq }) => seq > before);
  const whole = new Map(atTruck.map(record => [record.seq, record]));
  const stored = numbersOf(
    produced,
    samplesIn(shift.map(batch => (batch.reduced_to && whole.get(batch.seq)) || batch)),
  );
  const delivered = numbersOf(produced, samplesIn(atTruck));
  expect(delivered, rig.id).toEqual(stored.slice(0, delivered.length));
  // Each run that is missing has its place: no edge ran, or the line lost frames and that is on record.
  const linesLost = eventsIn(shift)
    .filter(({ type }) => type === 'framesLost')
    .reduce((sum, { data }) => sum + Number(data['times']), 0);
  expect(holesIn(stored).length, `${rig.id}: holes`).toBeLessThanOrEqual(edge.kills + linesLost);
  sums.produced += produced.length;
  sums.delivered += delivered.length;
  sums.waiting += stored.length - delivered.length;
  sums.rejected += truck!.unreadable;
  sums.pruned += shift.filter(({ reduced_to: to }) => to === 'pruned').length;
  // Counted where they are missing, not as what is left over: the sum below has to come out by itself.
  const holes = holesIn([-1, ...stored, produced.length]);
  sums.missing += holes.reduce((sum, [from, to]) => sum + to - from + 1, 0);
  expect(stored.length, `${rig.id}: samples`).toBeGreaterThan(0);
  return store.batches.at(-1)!.seq;
}

describe('a soak', () => {
  it(
    'of many rigs with random faults: the books of every rig balance',
    async () => {
      const crew = new Crew();
      const random = new FaultRandom(options.seed);
      let endMs: number | null = null;
      const audited = new Map<string, number>();
      const sums: Sums = { produced: 0, delivered: 0, waiting: 0, rejected: 0, pruned: 0, missing: 0 };
      let ports: readonly string[] | null = null;
      for (let shift = 1; endMs === null || performance.now() < endMs; shift++) {
        const rigs = await startNumberedRigs(options.rigs, {
          seed: options.seed * 1000 + shift,
          boot: shift,
          speed: options.speed,
          ...(ports ? { output: ports } : {}),
        });
        if (!ports) await crew.start(rigs);
        ports = rigs.map(({ url }) => url);
        for (const edge of crew.edges) edge.kills = 0;
        await waitUntil(
          () => crew.edges.every(({ rig, file }) => newestCommitted(file) > (audited.get(rig) ?? 0) + 3),
          () => `every edge to record; ${crew.waitsFor()}`,
          60_000,
        );
        endMs ??= performance.now() + options.minutes * 60_000;
        const shiftEndMs = Math.min(endMs, performance.now() + SHIFT_MINUTES * 60_000);
        let dueMs = performance.now();
        while (performance.now() < shiftEndMs) {
          dueMs += options.faultEveryS * 1000;
          await crew.hurt(random);
          const dueNowMs = Math.min(dueMs, shiftEndMs);
          await waitUntil(() => performance.now() >= dueNowMs, 'the next fault', 600_000);
          expect(crew.ended(), `seed ${options.seed}`).toEqual([]);
        }
        await rigs[0]!.stop();
        await waitUntil(
          () => {
            const taken = takenByRig(crew.truckData);
            return crew.edges.every(({ rig, file }) => taken.get(rig) === newestCommitted(file));
          },
          () => `everything to be taken over, seed ${options.seed}; ${crew.waitsFor()}`,
          120_000,
        );
        for (const rig of rigs) audited.set(rig.id, await audit(rig, crew, audited.get(rig.id) ?? 0, sums));
        const { rssMb, files, walMb } = crew.sizes();
        process.stderr.write(
          `soak, seed ${options.seed}, shift ${shift}: largest program ${rssMb.toFixed(0)} MB, ${files} files; ` +
            `largest log ${walMb.toFixed(1)} MB; faults ${JSON.stringify(crew.faults)}\n`,
        );
        // Far above what is needed, far below what a leak reaches.
        expect(rssMb).toBeLessThan(512);
        expect(files).toBeLessThan(400);
        expect(walMb).toBeLessThan(64);
      }
      process.stderr.write(
        `soak, seed ${options.seed}: ${sums.produced} produced = ${sums.delivered} delivered + ${sums.waiting} waiting ` +
          `+ ${sums.rejected} rejected + ${sums.missing} missed while an edge was down or a line overran ` +
          `(${sums.pruned} batches pruned at the edges after delivery)\n`,
      );
      expect(sums.delivered + sums.waiting + sums.missing).toBe(sums.produced);
      expect(sums.waiting).toBe(0);
      expect(sums.rejected).toBe(0);
    },
    options.minutes * 60_000 * 2 + 300_000,
  );
});
