/** Seals over records that are not all here, or not whole any more. */
import { describe, expect, it } from 'vitest';
import { type RecordMessage, recordBodySchema } from '#core/messages/record';
import { reducedHashInput } from '#core/record/chain';
import { pruneRecord } from '#core/record/reduce-record';
import { SealedStream, testKey } from '../support/seal-bench.ts';
import { deliver, listOf, RIG, statesOf } from '../support/sealed-truck.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';
import { STREAM, seal, sha256 } from '../support/test-records.ts';

describe('a store that does not have everything', () => {
  it('taken up later says which batches a root could not be checked with', async () => {
    const truck = await startTestDashboard();
    const stream = new SealedStream(testKey()).begin(6);
    stream.checkpoint();
    stream.pass(1);
    const late = stream.records.slice(3);
    await deliver(truck, late);
    expect(truck.store.startStreamAt(RIG, STREAM, 4)?.first).toBe(4);
    // Anything stored wakes the check.
    stream.add();
    await deliver(truck, stream.records.slice(-1));
    const { seals } = await listOf(truck);
    expect(seals.map(({ state }) => state)).toEqual(['partly', 'partly']);
    expect(seals[1]?.problem).toBe(
      'batches 1 to 3 are not in this store, so the root cannot be checked here',
    );
  });

  it('keeps a record whose seal is no seal at all, with its samples', async () => {
    const truck = await startTestDashboard();
    const stream = new SealedStream(testKey()).begin();
    const nonsense = { seal: { anything: 1 }, publicKey: 'a'.repeat(64), signature: 'b'.repeat(128) };
    const record = stream.add({}, [nonsense]);
    await deliver(truck, stream.records);
    expect(truck.counts['recordBodyUnreadable'] ?? 0).toBe(0);
    expect(await statesOf(truck)).toEqual(['verified', 'failed']);
    expect(truck.store.newestSample(RIG)).not.toBeNull();
    expect(seal(record.body, record.seq, record.prev).hash).toBe(record.hash);
  });
});

describe('batches whose samples gave way at the edge', () => {
  it('give the same root: the pass is verified from their hashes', async () => {
    const truck = await startTestDashboard();
    const stream = new SealedStream(testKey()).begin();
    stream.pass(1);
    stream.checkpoint();
    const pruned = stream.records.map((record): RecordMessage => {
      const left = pruneRecord(recordBodySchema.parse(JSON.parse(record.body)));
      if (!left) throw new Error('nothing to prune');
      const body = JSON.stringify(left);
      const bodyHash = sha256(reducedHashInput({ hash: record.hash, body }));
      return { ...record, body, reduced: { to: 'pruned', bodyHash } };
    });
    await deliver(truck, pruned);
    expect(await statesOf(truck)).toEqual(['verified', 'verified', 'verified']);
    expect(truck.store.newestSample(RIG)).toBeNull();
    expect(truck.counts['recordReduced']).toBe(pruned.length);
  });
});
