import { describe, expect, it } from 'vitest';
import type { RigEvent } from '#core/messages/event';
import type { PassMessage } from '#core/messages/pass';
import { type PassSeal, passSealSchema, type Seal } from '#core/record/seal';
import { coverProblem, keyIdOf, verifySealChain } from '#core/record/seal-verify';
import { MAX_BODY_BYTES } from '../../../edge/capture/batch-bodies.ts';
import { testCrypto } from '../../support/seal-bench.ts';
import { newSealKey, SealingEdge } from '../../support/sealing-edge.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { testDeviation, testEvent, testPass } from '../../support/test-records.ts';

const event = (n: number, parts: Partial<RigEvent> = {}): RigEvent =>
  testEvent(n, { type: 'storage', ...parts });

const kinds = (edge: SealingEdge): unknown[] => edge.seals().map(({ seal }) => seal['kind']);

/** Everything the stream's seals have to be, whatever happened. */
function expectSound(edge: SealingEdge, trustedKeyId: string): void {
  const seals = edge.seals();
  expect(verifySealChain(seals, testCrypto, { trustedKeyId })).toBeNull();
  for (const seal of seals.map(one => one.seal as unknown as Seal)) {
    const hashes = edge.hashes(seal.firstSeq).slice(0, seal.lastSeq - seal.firstSeq + 1);
    expect(coverProblem(seal, hashes, testCrypto)).toBeNull();
  }
}

/** A pass of the edge's own stream between two moments of record time. */
function pass(
  edge: SealingEdge,
  index: number,
  startUs: number,
  parts: Partial<PassMessage> = {},
): PassMessage {
  const { stream } = edge.opened;
  return testPass(index, { stream, passId: `${stream}:p${index}`, startUs, endUs: edge.nowUs, ...parts });
}

const passSealOf = (edge: SealingEdge, index: number): PassSeal => {
  const found = edge.seals().filter(({ seal }) => seal['kind'] === 'pass');
  return passSealSchema.parse(
    found.find(({ seal }) => passSealSchema.parse(seal).pass.pass.index === index)?.seal,
  );
};

describe('sealing', () => {
  it('announces its key first, seals a pass in the batch after the one that closed it, and the whole at the end', async () => {
    const key = newSealKey();
    const directory = tempDir();
    const edge = new SealingEdge(directory, key);
    await edge.second([event(1)]);
    await edge.second([event(2)]);
    const startUs = edge.nowUs;
    for (let n = 3; n < 8; n++) await edge.second([event(n)]);
    const closed = pass(edge, 1, startUs);
    await edge.second([event(8)], [closed]);
    const closedIn = edge.bodies().length;
    expect(kinds(edge)).toEqual(['key']);
    await edge.second();
    expect(kinds(edge)).toEqual(['key', 'pass']);
    const sealed = passSealOf(edge, 1);
    expect(sealed.pass).toEqual(closed);
    expect(sealed.origin).toBe('simulated');
    // Every batch that can hold a sample of it, and the one that closed it.
    expect(sealed.firstSeq).toBeLessThanOrEqual(3);
    expect(sealed.firstSeq).toBeGreaterThanOrEqual(2);
    expect(sealed.lastSeq).toBe(closedIn);
    await edge.second([event(9)]);
    expectSound(edge, key.keyId);
    await edge.stop();
    const after = new SealingEdge(directory, key);
    expect(kinds(after)).toEqual(['key', 'pass', 'checkpoint']);
    expectSound(after, key.keyId);
  });

  it('killed between the pass and its seal: it is sealed at the next start, once', async () => {
    const key = newSealKey();
    const directory = tempDir();
    const killed = new SealingEdge(directory, key);
    await killed.second([event(1)]);
    const startUs = killed.nowUs;
    const gap = event(2, { type: 'signalGap', passIndex: 1, data: { fromUs: startUs, toUs: startUs + 9 } });
    await killed.second([gap]);
    await killed.second([], [pass(killed, 1, startUs)]);
    killed.kill();

    for (let start = 0; start < 2; start++) {
      const edge = new SealingEdge(directory, key);
      if (start === 0) expect(kinds(edge)).toEqual(['key']);
      await edge.second();
      await edge.second();
      expect(kinds(edge)).toEqual(['key', 'pass']);
      expect(passSealOf(edge, 1).gaps).toEqual([{ fromUs: startUs, toUs: startUs + 9, cause: 'noSamples' }]);
      expectSound(edge, key.keyId);
      edge.kill();
    }
  });

  it('killed at any second, no closed pass stays without its seal, and none has two', async () => {
    const key = newSealKey();
    for (let killAt = 1; killAt <= 7; killAt++) {
      const directory = tempDir();
      const killed = new SealingEdge(directory, key);
      const closed: number[] = [];
      for (let n = 1; n <= killAt; n++) {
        const passes = n % 2 === 0 ? [pass(killed, n, killed.nowUs - 500_000)] : [];
        closed.push(...passes.map(one => one.pass.index));
        await killed.second([event(n)], passes);
      }
      killed.kill();
      const edge = new SealingEdge(directory, key);
      await edge.second();
      await edge.second();
      const sealed = edge
        .seals()
        .flatMap(({ seal }) => passSealSchema.safeParse(seal).data?.pass.pass.index ?? []);
      expect(sealed).toEqual(closed);
      expectSound(edge, key.keyId);
      edge.kill();
    }
  });

  it('signs the head every minute while the stream grows, and not because of its own seals', async () => {
    const key = newSealKey();
    const edge = new SealingEdge(tempDir(), key);
    for (let n = 1; n <= 130; n++) await edge.second([event(n)]);
    expect(kinds(edge)).toEqual(['key', 'checkpoint', 'checkpoint']);
    const [, , checkpoint] = edge.seals().map(({ seal }) => seal as unknown as Seal);
    expect(checkpoint).toMatchObject({ firstSeq: 1, number: 3 });
    // The tail behind a checkpoint is never longer than a minute and the second that carries it.
    expect(edge.hashes().length - checkpoint!.lastSeq).toBeLessThanOrEqual(61);
    for (let n = 0; n < 300; n++) await edge.second();
    expect(kinds(edge)).toHaveLength(4);
    expectSound(edge, key.keyId);
  });

  it('lists at most a hundred gaps of a pass, those of the pass alone, and counts the others', async () => {
    const key = newSealKey();
    const edge = new SealingEdge(tempDir(), key);
    await edge.second();
    const startUs = edge.nowUs;
    const at = (n: number, parts: Partial<RigEvent>) =>
      event(n, { data: { fromUs: startUs + n, toUs: startUs + n + 1 }, ...parts });
    await edge.second([
      event(1, { type: 'signalGap', data: { fromUs: startUs - 5000, toUs: startUs - 1000 } }),
      event(2, { type: 'arcStart', passIndex: 1, tUs: startUs }),
      at(3, { type: 'signalHeld' }),
      event(4, {
        type: 'signalGap',
        data: { cause: 'storage', fromUs: startUs + 10, toUs: startUs + 20, samples: 3 },
      }),
      ...Array.from({ length: 103 }, (_, n) => at(100 + n, { type: 'signalGap' })),
    ]);
    await edge.second([], [pass(edge, 1, startUs)]);
    await edge.second([], [pass(edge, 2, edge.nowUs - 1000)]);
    await edge.second();
    const sealed = passSealOf(edge, 1);
    expect(sealed.gaps).toHaveLength(100);
    expect(sealed.gaps.slice(0, 2)).toEqual([
      { fromUs: startUs + 3, toUs: startUs + 4, cause: 'held' },
      { fromUs: startUs + 10, toUs: startUs + 20, cause: 'storage' },
    ]);
    expect(sealed.gapsLeftOut).toBe(5);
    expect(passSealOf(edge, 2)).toMatchObject({ gaps: [], gapsLeftOut: 0 });
  });

  it('lists the gaps of a pass also where the next one begins within the second that closed it', async () => {
    const key = newSealKey();
    const edge = new SealingEdge(tempDir(), key);
    await edge.second();
    const startUs = edge.nowUs;
    const gap = (n: number, fromUs: number) =>
      event(n, { type: 'signalGap', data: { fromUs, toUs: fromUs + 400_000 } });
    await edge.second([
      event(1, { type: 'arcStart', passIndex: 1, tUs: startUs }),
      gap(2, startUs + 100_000),
    ]);
    // Other work is assigned while the arc burns: it is cut, and goes on as another pass 0.2 s later.
    const endUs = startUs + 1_300_000;
    const first = pass(edge, 1, startUs, { endUs });
    const startOfNext = event(4, { type: 'arcStart', passIndex: 2, tUs: endUs });
    await edge.second(
      [event(3, { type: 'passClosed', passIndex: 1, tUs: endUs }), startOfNext, gap(5, endUs + 300_000)],
      [first],
    );
    await edge.second([], [pass(edge, 2, endUs)]);
    await edge.second();
    const gapsOf = (index: number) => passSealOf(edge, index).gaps.map(({ fromUs }) => fromUs);
    expect(gapsOf(1)).toEqual([startUs + 100_000]);
    expect(gapsOf(2)).toEqual([endUs + 300_000]);
  });

  it('a pass with more deviations than fit is sealed as it is on record, and still travels', async () => {
    const key = newSealKey();
    const edge = new SealingEdge(tempDir(), key);
    await edge.second();
    const startUs = edge.nowUs;
    const deviations = Array.from({ length: 400 }, (_, n) => testDeviation(n));
    const gaps = Array.from({ length: 100 }, (_, n) => {
      return event(n, { type: 'signalGap', data: { fromUs: startUs + n, toUs: startUs + n + 1 } });
    });
    await edge.second(gaps);
    await edge.second([], [pass(edge, 1, startUs, { deviations })]);
    await edge.second();
    const [recorded] = edge.bodies().flatMap(({ passes }) => passes);
    const sealed = passSealOf(edge, 1);
    expect(sealed.pass).toEqual(recorded);
    expect(sealed.gaps).toHaveLength(100);
    expect(sealed.pass.pass.reasons.map(({ code }) => code)).toContain('listCut');
    for (const body of edge.bodies()) {
      expect(Buffer.byteLength(JSON.stringify(JSON.stringify(body)))).toBeLessThanOrEqual(MAX_BODY_BYTES);
    }
    expectSound(edge, key.keyId);
  });

  it('a pass with a text that cannot be signed stays without a seal; what follows has its own', async () => {
    const key = newSealKey();
    const edge = new SealingEdge(tempDir(), key);
    await edge.second();
    const startUs = edge.nowUs;
    await edge.second([event(1)], [pass(edge, 1, startUs, { joint: 'J-\ud800' }), pass(edge, 2, startUs)]);
    await edge.second();
    await edge.second();
    expect(
      edge.seals().map(({ seal }) => passSealSchema.safeParse(seal).data?.pass.pass.index ?? null),
    ).toEqual([null, 2]);
    expectSound(edge, key.keyId);
  });

  it('a key file that was exchanged is said aloud, and the chain shows it', async () => {
    const directory = tempDir();
    const [first, second] = [newSealKey(), newSealKey()];
    const before = new SealingEdge(directory, first);
    await before.second([event(1)]);
    await before.second();
    before.kill();
    const edge = new SealingEdge(directory, second);
    await edge.second([event(2)]);
    await edge.second();
    expect(edge.replaced).toEqual([{ from: first.publicKey, to: second.publicKey }]);
    expect(kinds(edge)).toEqual(['key', 'key']);
    expect(verifySealChain(edge.seals(), testCrypto)).toEqual({
      index: 1,
      problem: 'seal 2 is signed by a key that nothing announced',
    });
    expect(keyIdOf(second.publicKey, testCrypto)).toBe(edge.seals()[1]!.seal['keyId']);
  });
});
