/** Seals of a real edge behind a real Mosquitto: made, made again after a kill, checked by the truck, keys exchanged. */
import { readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type { Info } from '#core/messages/info';
import { type RecordMessage, recordBodySchema } from '#core/messages/record';
import { type PassSeal, passSealSchema, type Seal, type SignedSeal } from '#core/record/seal';
import { coverProblem, verifySealChain } from '#core/record/seal-verify';
import { topicOf } from '#core/topics/topics';
import { type ArcDevice, startArcDevice } from '../support/arc-device.ts';
import { ADDRESS, Sink, writeConfig } from '../support/edge-bench.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { startProgram } from '../support/programs.ts';
import { testCrypto } from '../support/seal-bench.ts';
import { tempDir } from '../support/temp-dir.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';
import { waitUntil } from '../support/wait-until.ts';

const bodyOf = (record: RecordMessage) => recordBodySchema.parse(JSON.parse(record.body));

async function bench(batchS: number) {
  const broker = await startMosquitto();
  const device = await startArcDevice();
  const sink = new Sink(broker.url);
  await waitUntil(() => sink.connected, 'the store to connect');
  const dir = tempDir();
  const config = writeConfig(dir, device.url, broker.url, '[engine]\npass_join_s = 0.5\n');
  writeFileSync(config, readFileSync(config, 'utf8').replace('batch_s = 0.1', `batch_s = ${batchS}`));
  const start = () => startProgram('girthlog-edge', ['run', '--config', config]);
  const key = (name: string) => startProgram('girthlog-edge', ['key', name, '--config', config, '--json']);
  const records = (): RecordMessage[] => {
    const [stream] = sink.streams();
    return stream === undefined ? [] : sink.records(stream);
  };
  const seals = (): SignedSeal[] => records().flatMap(record => bodyOf(record).seals ?? []);
  return { device, sink, dir, config, start, key, records, seals };
}
type Bench = Awaited<ReturnType<typeof bench>>;

const passSeals = (b: Bench): PassSeal[] =>
  b.seals().flatMap(({ seal }) => passSealSchema.safeParse(seal).data ?? []);
const closedPasses = (b: Bench) =>
  b.records().flatMap(record => bodyOf(record).passes.filter(({ state }) => state === 'closed'));

/** One arc, long enough to be a pass, and the pause that ends it. */
async function weld(b: Bench, device: ArcDevice): Promise<void> {
  const before = closedPasses(b).length;
  const arcs = () =>
    b.records().flatMap(record => bodyOf(record).events.filter(({ type }) => type === 'arcStart'));
  const started = arcs().length;
  device.arc = true;
  await waitUntil(() => arcs().length > started, 'an arc');
  device.arc = false;
  await waitUntil(() => closedPasses(b).length > before, 'a closed pass');
}

function expectSound(b: Bench, trustedKeyId: string): void {
  expect(verifySealChain(b.seals(), testCrypto, { trustedKeyId })).toBeNull();
  const hashes = b.records().map(({ hash }) => hash);
  for (const seal of b.seals().map(one => one.seal as unknown as Seal)) {
    expect(coverProblem(seal, hashes.slice(seal.firstSeq - 1, seal.lastSeq), testCrypto)).toBeNull();
  }
}

describe.skipIf(mosquittoMissing)('an edge that seals', () => {
  it('makes a key for itself, says it, and signs each pass with the batches it was recorded in', async () => {
    const b = await bench(0.1);
    const edge = b.start();
    await weld(b, b.device);
    await waitUntil(() => passSeals(b).length === 1, 'its seal');
    expect(await edge.stop()).toBe(0);

    expect(statSync(join(b.dir, 'edge.db.key')).mode & 0o777).toBe(0o400);
    const shown = b.key('show');
    expect(await shown.exited).toBe(0);
    const { keyId, publicKey } = JSON.parse(shown.stdout()) as { keyId: string; publicKey: string };
    expect(b.sink.newest<Info>('info')?.sealKey).toEqual({ keyId, publicKey });
    // The last checkpoint travels with the last batch, unless the program ended before it was sent.
    expect(
      b
        .seals()
        .slice(0, 2)
        .map(({ seal }) => seal['kind']),
    ).toEqual(['key', 'pass']);
    expectSound(b, keyId);
    const [sealed] = passSeals(b);
    const [recorded] = closedPasses(b);
    expect(sealed?.pass).toEqual(recorded);
    expect(sealed?.origin).toBe('simulated');
    const holding = b.records().filter(record => bodyOf(record).samples !== null);
    const inside = holding.filter(record => {
      const { firstUs, lastUs } = bodyOf(record).samples!;
      return lastUs >= recorded!.startUs && firstUs <= recorded!.endUs;
    });
    expect(inside.length).toBeGreaterThan(0);
    for (const { seq } of inside) {
      expect(seq).toBeGreaterThanOrEqual(sealed!.firstSeq);
      expect(seq).toBeLessThanOrEqual(sealed!.lastSeq);
    }
  });

  it('killed between the end of a pass and its seal, has the seal after the next start', async () => {
    const b = await bench(2);
    const edge = b.start();
    await weld(b, b.device);
    await edge.kill();
    const db = new Database(join(b.dir, 'edge.db'), { readonly: true });
    const waiting = db.prepare("SELECT value FROM state WHERE key = 'sealWaiting'").pluck().get() as string;
    db.close();
    const [closed] = closedPasses(b);
    expect(JSON.parse(waiting)).toMatchObject([{ pass: { passId: closed!.passId } }]);
    expect(passSeals(b)).toEqual([]);

    const again = b.start();
    await waitUntil(() => passSeals(b).length > 0, 'the seal');
    expect(passSeals(b).map(({ pass }) => pass.passId)).toEqual([closed!.passId]);
    const { keyId } = b.sink.newest<Info>('info')!.sealKey!;
    expectSound(b, keyId);
    expect(await again.stop()).toBe(0);
  });

  it('hands over to a new key that the old one signs; the truck follows, but not to a key nobody announced', async () => {
    const b = await bench(0.1);
    const truck = await startTestDashboard();
    const deliver = async () => {
      for (const record of b.records()) truck.receive(topicOf(ADDRESS, 'record'), record);
      await truck.settle();
    };
    const first = b.start();
    await weld(b, b.device);
    await waitUntil(() => passSeals(b).length === 1, 'its seal');
    const running = b.key('rotate');
    expect(await running.exited).toBe(6);
    expect(running.stderr()).toContain('in use by another girthlog-edge');
    expect(await first.stop()).toBe(0);
    await deliver();
    expect(truck.store.seals.keys(ADDRESS).map(({ state, how }) => [state, how])).toEqual([
      ['pinned', 'firstSeen'],
    ]);
    expect(truck.store.seals.ofPass(closedPasses(b)[0]!.passId)).toMatchObject({
      state: 'verified',
      problem: null,
    });

    const rotated = b.key('rotate');
    expect(await rotated.exited).toBe(0);
    const { from, to } = JSON.parse(rotated.stdout()) as { from: string; to: string };
    const second = b.start();
    await weld(b, b.device);
    await waitUntil(() => passSeals(b).length === 2, 'the seal of the second pass');
    expect(await second.stop()).toBe(0);
    expect(passSeals(b).map(({ keyId }) => keyId)).toEqual([from, to]);
    expectSound(b, from);
    await deliver();
    expect(truck.counts['sealFailed'] ?? 0).toBe(0);
    expect(truck.counts['sealKeyRotated']).toBe(1);
    expect(truck.store.seals.keys(ADDRESS).map(({ keyId, state }) => [keyId, state])).toEqual([
      [from, 'retired'],
      [to, 'pinned'],
    ]);

    rmSync(join(b.dir, 'edge.db.key'));
    const third = b.start();
    await weld(b, b.device);
    await waitUntil(() => passSeals(b).length === 3, 'the seal of the third pass');
    expect(third.stderr()).toContain('sealKeyReplaced');
    expect(await third.stop()).toBe(0);
    await deliver();
    expect(truck.counts['sealKeyRefused']).toBeGreaterThan(0);
    expect(truck.conditions.state().conditions.map(({ cause }) => cause)).toContain('sealKeyRefused');
    const refused = truck.store.seals.ofPass(closedPasses(b)[2]!.passId);
    expect(refused?.state).toBe('failed');
    expect(refused?.problem).toContain('not this rig’s');
    // Its samples are kept all the same.
    expect(truck.store.pass(closedPasses(b)[2]!.passId)).not.toBeNull();
  });
});
