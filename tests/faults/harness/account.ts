/**
 * The books of one rig: every sample the device made is at the truck, or waits at the edge, or was refused and
 * kept aside, or is missing with a place. Nothing is in two places of the books, nothing was made up.
 */
import { expect } from 'vitest';
import { verifyChain } from '../../support/verify-chain.ts';
import type { NumberedRig } from './numbered-rig.ts';
import { holesIn, numbersOf } from './numbered-samples.ts';
import { type EdgeStore, readBoth, samplesIn, type TruckStore, type TruckStream } from './stores.ts';

export interface Account {
  readonly produced: number;
  /** Numbers of the samples the edge holds, and of those the truck has taken over. */
  readonly stored: readonly number[];
  readonly delivered: readonly number[];
  readonly waiting: number;
  readonly rejected: number;
  /** Numbers missing between samples that are stored: [first, last] each. */
  readonly holes: readonly (readonly [number, number])[];
  readonly edge: EdgeStore;
  readonly truck: TruckStream | null;
}

/**
 * Checks both stores against each other and against the truth; the rig has to be stopped. `name`: what the edge knows
 * the second store by.
 */
export async function account(
  rig: NumberedRig,
  edgeFile: string,
  readTruck: () => TruckStore,
  name = 'truck',
): Promise<Account> {
  const produced = await rig.samples();
  const {
    edge,
    truck: { streams, conflicts },
  } = readBoth(edgeFile, readTruck);
  expect(conflicts, 'numbers with two contents').toBe(0);
  expect(verifyChain(edge.stream, edge.batches), 'chain at the edge').toBeNull();
  const truck = streams.find(({ stream }) => stream === edge.stream) ?? null;
  const taken = (truck?.records ?? []).filter(({ seq }) => seq <= truck!.upto);
  const rejected = truck?.unreadable ?? 0;
  if (truck) {
    expect(verifyChain(edge.stream, taken), 'chain at the truck').toBeNull();
    const hashes = new Map(edge.batches.map(({ seq, hash }) => [seq, hash]));
    for (const { seq, hash } of truck.records) {
      expect(hashes.get(seq), `batch ${seq} at the truck is the edge's`).toBe(hash);
    }
    expect(edge.cursors[name] ?? 0, 'the edge believes no more than the truck has').toBeLessThanOrEqual(
      truck.upto,
    );
  }
  // What gave way at the edge after the truck had it is still stored: there.
  const whole = new Map(taken.map(record => [record.seq, record]));
  const kept = edge.batches.map(batch => (batch.reduced_to && whole.get(batch.seq)) || batch);
  const stored = numbersOf(produced, samplesIn(kept));
  const delivered = numbersOf(produced, samplesIn(taken));
  expect(delivered).toEqual(stored.slice(0, delivered.length));
  return {
    produced: produced.length,
    stored,
    delivered,
    waiting: stored.length - delivered.length,
    rejected,
    holes: holesIn(stored),
    edge,
    truck,
  };
}
