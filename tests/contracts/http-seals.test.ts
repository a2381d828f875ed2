/** What the truck makes of seals as they arrive, and what it says of them over HTTP. */
import { describe, expect, it, test } from 'vitest';
import { type JointSeals, passSealAnswerSchema, type SealKeys, type SealList } from '#core/messages/api-seal';
import { verifySeal, verifySealChain } from '#core/record/seal-verify';
import { SealedStream, signSeal, testCrypto, testKey } from '../support/seal-bench.ts';
import { deliver, listOf, RIG, statesOf, told } from '../support/sealed-truck.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';
import { STREAM, testPass } from '../support/test-records.ts';

describe('seals at the truck', () => {
  it('are kept, checked and told: list, pass, joint, key', async () => {
    const truck = await startTestDashboard();
    const key = testKey();
    const stream = new SealedStream(key).begin();
    const sealed = stream.pass(1);
    stream.checkpoint();
    await deliver(truck, stream.records);

    const { seals, next } = await listOf(truck);
    expect(next).toBeNull();
    expect(seals.map(({ kind, state, number }) => [kind, state, number])).toEqual([
      ['checkpoint', 'verified', 3],
      ['pass', 'verified', 2],
      ['key', 'verified', 1],
    ]);
    const passId = testPass(1).passId;
    const answer = passSealAnswerSchema.parse(await told(truck, `/api/v1/passes/${passId}/seal`));
    expect(answer.signed).toEqual(sealed);
    expect(verifySeal(answer.signed, testCrypto)).toBeNull();
    expect(answer).toMatchObject({
      ...RIG,
      stream: STREAM,
      state: 'verified',
      problem: null,
      keyId: key.keyId,
    });
    expect(await told<JointSeals>(truck, '/api/v1/joints/J-0001/seals')).toEqual({
      joint: 'J-0001',
      origin: 'simulated',
      passes: [{ passId, state: 'verified', problem: null, keyId: key.keyId, trusted: true }],
    });
    const { keys } = await told<SealKeys>(truck, '/api/v1/rigs/spread-1/rig-a/seal-keys');
    expect(keys).toMatchObject([
      { keyId: key.keyId, publicKey: key.publicKey, state: 'pinned', how: 'firstSeen' },
    ]);
    expect(truck.counts).toMatchObject({ sealVerified: 3, sealKeyPinned: 1 });
    const witnessed = truck.store.seals.ofStream(RIG, STREAM).map(one => one.signed);
    expect(verifySealChain(witnessed, testCrypto, { trustedKeyId: key.keyId })).toBeNull();
  });

  it('come in any order, and are checked once everything before them is here', async () => {
    const truck = await startTestDashboard();
    const stream = new SealedStream(testKey()).begin();
    stream.pass(1);
    await deliver(truck, [...stream.records].slice(1).reverse());
    expect(await statesOf(truck)).toEqual(['waiting']);
    await deliver(truck, stream.records.slice(0, 1));
    expect((await statesOf(truck)).sort()).toEqual(['verified', 'verified']);
  });

  it('that are not stored are unknown, and a page begins where the one before ended', async () => {
    const truck = await startTestDashboard();
    const stream = new SealedStream(testKey()).begin();
    for (let n = 1; n <= 3; n++) stream.pass(n);
    await deliver(truck, stream.records);
    const first = await told<SealList>(truck, '/api/v1/seals?limit=3&rig=rig-a&state=verified');
    const rest = await told<SealList>(truck, `/api/v1/seals?limit=3&before=${first.next}`);
    expect([...first.seals, ...rest.seals].map(({ number }) => number)).toEqual([4, 3, 2, 1]);
    expect((await told<SealList>(truck, '/api/v1/seals?rig=rig-b')).seals).toEqual([]);
    expect((await truck.get('/api/v1/passes/none/seal')).status).toBe(404);
    expect((await truck.get('/api/v1/joints/none/seals')).status).toBe(404);
  });
});

describe('a seal that does not hold', () => {
  const passId = testPass(1).passId;

  test.each<[string, RegExp, (stream: SealedStream) => void]>([
    [
      'a changed document',
      /signature does not fit/,
      stream => {
        const sealed = stream.seal({ kind: 'pass', pass: testPass(1), gaps: [], gapsLeftOut: 0 });
        stream.add({ passes: [testPass(1)] });
        stream.add({}, [{ ...sealed, seal: { ...sealed.seal, gapsLeftOut: 7 } }]);
      },
    ],
    ['other batches', /the root of batches 2 to 5/, stream => stream.pass(1, {}, { root: 'b'.repeat(64) })],
    ['another head', /the chain at batch 5/, stream => stream.pass(1, {}, { head: 'b'.repeat(64) })],
    ['batches to come', /seals batches that come after it/, stream => stream.pass(1, {}, { lastSeq: 6 })],
    ['another origin', /another origin/, stream => stream.pass(1, { origin: 'real' }, { origin: 'real' })],
    ['another rig', /another rig or stream/, stream => stream.pass(1, { rig: 'rig-b' }, { rig: 'rig-b' })],
    ['a number left out', /seal 5 stands where seal 2 should/, stream => stream.pass(1, {}, { number: 5 })],
    [
      'another pass than the one on record',
      /the pass on record is another/,
      stream => {
        stream.add({ passes: [testPass(1)] });
        const pass = testPass(1, { joint: 'J-0002' });
        stream.add({}, [stream.seal({ kind: 'pass', pass, gaps: [], gapsLeftOut: 0 }, 2)]);
      },
    ],
    [
      'a pass that nobody recorded',
      /not on record/,
      stream => {
        stream.add({}, [stream.seal({ kind: 'pass', pass: testPass(9), gaps: [], gapsLeftOut: 0 }, 2)]);
      },
    ],
  ])(
    '%s: kept and told as failed, counted; the samples are stored all the same',
    async (_, problem, damage) => {
      const truck = await startTestDashboard();
      const stream = new SealedStream(testKey()).begin();
      damage(stream);
      await deliver(truck, stream.records);
      const { seals } = await told<SealList>(truck, '/api/v1/seals?state=failed');
      expect(seals).toHaveLength(1);
      expect(seals[0]?.problem).toMatch(problem);
      expect(truck.counts['sealFailed']).toBe(1);
      expect(truck.store.size().records).toBe(stream.records.length);
      expect(truck.store.newestStream(RIG)).toMatchObject({ upto: stream.records.length });
    },
  );

  it('is told once: the next one is held against it', async () => {
    const truck = await startTestDashboard();
    const stream = new SealedStream(testKey()).begin();
    stream.pass(1, {}, { number: 5 });
    stream.pass(2);
    stream.checkpoint();
    await deliver(truck, stream.records);
    expect(await statesOf(truck)).toEqual(['verified', 'failed', 'verified', 'verified']);
  });

  it('that never comes is an event by the second head behind its pass', async () => {
    const truck = await startTestDashboard();
    const stream = new SealedStream(testKey()).begin();
    stream.add({ passes: [testPass(1)] });
    stream.checkpoint();
    await deliver(truck, stream.records);
    expect(truck.counts['passUnsealed'] ?? 0).toBe(0);
    stream.add();
    stream.checkpoint();
    stream.add();
    stream.checkpoint();
    await deliver(truck, stream.records);
    expect(truck.counts['passUnsealed']).toBe(1);
    const { passes } = await told<JointSeals>(truck, '/api/v1/joints/J-0001/seals');
    expect(passes).toEqual([{ passId, state: 'missing', problem: null, keyId: null, trusted: false }]);
  });
});

describe('keys', () => {
  it('a rig’s key hands over to the next; an old one is not taken again', async () => {
    const truck = await startTestDashboard();
    const [old, next] = [testKey(), testKey()];
    const stream = new SealedStream(old).begin();
    stream.add({}, [stream.seal({ kind: 'key', publicKey: next.publicKey })]);
    stream.key = next;
    stream.checkpoint();
    await deliver(truck, stream.records);
    expect(await statesOf(truck)).toEqual(['verified', 'verified', 'verified']);
    expect(truck.store.seals.keys(RIG).map(({ keyId, state, how }) => [keyId, state, how])).toEqual([
      [old.keyId, 'retired', 'firstSeen'],
      [next.keyId, 'pinned', 'announced'],
    ]);
    stream.key = old;
    stream.checkpoint();
    await deliver(truck, stream.records);
    expect((await statesOf(truck)).at(-1)).toBe('failed');
    expect(truck.counts['sealKeyRefused']).toBe(1);
    expect(truck.store.seals.keys(RIG).map(({ state }) => state)).toEqual(['retired', 'pinned']);
  });

  it('one that nothing announced is refused, shown, counted and never pinned, whatever it says of itself', async () => {
    const truck = await startTestDashboard();
    const [own, foreign] = [testKey(), testKey()];
    const stream = new SealedStream(own).begin();
    stream.key = foreign;
    stream.add({}, [stream.seal({ kind: 'key', publicKey: foreign.publicKey })]);
    stream.pass(1);
    await deliver(truck, stream.records);
    expect(await statesOf(truck)).toEqual(['verified', 'failed', 'failed']);
    expect(truck.counts).toMatchObject({ sealKeyRefused: 2, sealKeyPinned: 1 });
    const { keys } = await told<SealKeys>(truck, '/api/v1/rigs/spread-1/rig-a/seal-keys');
    expect(keys.map(({ keyId, state, how }) => [keyId, state, how])).toEqual([
      [own.keyId, 'pinned', 'firstSeen'],
      [foreign.keyId, 'refused', 'unannounced'],
    ]);
    const [condition] = truck.conditions.state().conditions;
    expect(condition).toMatchObject({ cause: 'sealKeyRefused', priority: 'high' });
    expect(condition?.text).toContain('spread-1/rig-a');
    const { passes } = await told<JointSeals>(truck, '/api/v1/joints/J-0001/seals');
    expect(passes).toMatchObject([{ state: 'failed', trusted: false }]);
    // Another rig has a key of its own.
    expect(truck.store.seals.keys({ site: 'spread-1', rig: 'rig-b' })).toEqual([]);
  });

  it('a refused one is accepted by somebody who may, with passphrase and reason; its seals are checked again', async () => {
    const truck = await startTestDashboard();
    const [own, board] = [testKey(), testKey()];
    const stream = new SealedStream(own).begin();
    stream.key = board;
    stream.add({}, [stream.seal({ kind: 'key', publicKey: board.publicKey })]);
    stream.pass(1);
    await deliver(truck, stream.records);
    const person = async (role: string): Promise<string> => {
      const added = await truck.post('/api/v1/people', { name: 'A. Example', roles: [role] });
      const { id } = (await added.json()) as { id: string };
      const set = { author: id, authorPassphrase: null, passphrase: 'four plain words here' };
      expect((await truck.post(`/api/v1/people/${id}/passphrase`, set)).status).toBe(201);
      return id;
    };
    const [setter, inspector] = [await person('weldSetter'), await person('inspector')];
    const accept = async (changes: Record<string, string>) => {
      const body = {
        author: inspector,
        passphrase: 'four plain words here',
        keyId: board.keyId,
        reason: 'Board exchanged.',
      };
      const response = await truck.post('/api/v1/rigs/spread-1/rig-a/seal-keys', { ...body, ...changes });
      await truck.settle();
      return [response.status, ((await response.json()) as { code?: string }).code];
    };
    expect(await accept({ author: setter })).toEqual([403, 'roleMissing']);
    expect(await accept({ author: 'nobody' })).toEqual([422, 'authorUnknown']);
    expect(await accept({ keyId: own.keyId })).toEqual([404, 'keyUnknown']);
    expect(await accept({ passphrase: 'some other words' })).toEqual([403, 'passphraseWrong']);
    expect(truck.store.seals.refused()).toHaveLength(1);
    const right = { author: await person('inspector') };
    expect(await accept(right)).toEqual([201, undefined]);
    const { keys } = await told<SealKeys>(truck, '/api/v1/rigs/spread-1/rig-a/seal-keys');
    expect(keys).toMatchObject([
      { keyId: own.keyId, state: 'retired', decidedBy: null },
      {
        keyId: board.keyId,
        state: 'pinned',
        how: 'accepted',
        decidedBy: right.author,
        reason: 'Board exchanged.',
      },
    ]);
    expect(truck.conditions.state().conditions).toEqual([]);
    // The change of key itself stays what it was.
    expect(await statesOf(truck)).toEqual(['verified', 'failed', 'verified']);
    stream.checkpoint();
    await deliver(truck, stream.records);
    expect((await statesOf(truck)).at(-1)).toBe('verified');
  });

  it('an announcement that stands in the wrong place is no handover', async () => {
    const truck = await startTestDashboard();
    const [own, next] = [testKey(), testKey()];
    const stream = new SealedStream(own).begin();
    const announcement = stream.seal({ kind: 'key', publicKey: next.publicKey });
    const moved = signSeal({ ...announcement.seal, number: 9 }, own);
    stream.add({}, [moved]);
    await deliver(truck, stream.records);
    expect(truck.store.seals.keys(RIG).map(({ keyId, state }) => [keyId, state])).toEqual([
      [own.keyId, 'pinned'],
    ]);
  });
});
