/** A pass that an edge died in goes on as if it had only been silent. Invented signals. */
import { expect, test } from 'vitest';
import type { PassEngine } from '#core/pass/engine-api';
import { toBase64 } from '#core/sample/base64';
import { concatChunks, type SampleChunk } from '#core/sample/chunk';
import { encodeChunk } from '#core/sample/codec';
import { resumePass } from '../../../edge/capture/resume-pass.ts';
import { Stamper } from '../../../edge/capture/stamper.ts';
import type { StoredBatch } from '../../../edge/outbox/outbox-types.ts';
import { assignmentOf, closedPasses, newEngine, SignalWriter } from '../../support/engine-run.ts';
import { STREAM, testBody } from '../../support/test-records.ts';

const OFF = { weldingCurrent: 0, arcVoltage: 0, travelSpeed: 0, wireFeedSpeed: 0 };
/** A reading that moves by more than the resolution it is kept at: one that stood still would be held. */
const ARC = {
  weldingCurrent: (s: number) => 230 + (Math.round(s * 100) % 7),
  arcVoltage: 24.11,
  travelSpeed: 7.5,
  wireFeedSpeed: 171,
};

const clock = {
  nowUs: () => 0,
  utcOf: () => '2026-05-12T08:00:00.000Z',
  state: () => 'synced' as const,
  reading: () => ({ state: 'synced' as const, offsetMs: null }),
  utcMinusRecordMs: () => 0,
};

function newStamper(state: Record<string, string>): Stamper {
  const address = { site: 'spread-1', rig: 'rig-a' };
  return new Stamper({ address, origin: 'simulated', stream: STREAM, clock: clock as never, state });
}

/** Feeds a second of samples at a time, as an edge does, and keeps each as a batch. */
function record(engine: PassEngine, stamper: Stamper, chunks: SampleChunk[], batches: StoredBatch[]): void {
  for (const chunk of chunks) {
    engine.push(chunk);
    for (const effect of engine.drain()) {
      if (effect.kind === 'event') stamper.event(effect);
      else stamper.pass(effect);
    }
    const body = testBody({ chunk });
    const samples = { ...body.samples!, data: toBase64(encodeChunk(chunk)) };
    batches.push({
      seq: batches.length + 1,
      prev: '',
      hash: '',
      body: JSON.stringify({ ...body, samples }),
      closedUs: chunk.tUs.at(-1)!,
    } as StoredBatch);
  }
}

function saved(stamper: Stamper): Record<string, string> {
  return Object.fromEntries(
    Object.entries(stamper.resumeState()).filter((entry): entry is [string, string] => entry[1] !== null),
  );
}

test('the pass has one number, one sum and one place, with the time the edge was away as a gap', async () => {
  const signal = new SignalWriter({ periodS: 0.01 });
  const seconds = (n: number, reading: object): SampleChunk[] =>
    Array.from({ length: n }, () => signal.stretch(1, reading));
  const before = [...seconds(5, OFF), ...seconds(200, ARC)];
  signal.skip(3);
  const after = [...seconds(20, ARC), ...seconds(2, OFF)];

  const undisturbed = newEngine();
  undisturbed.assign(assignmentOf());
  for (const chunk of [...before, ...after]) undisturbed.push(chunk);
  undisturbed.finish();
  const [expected] = closedPasses(undisturbed.drain());

  const batches: StoredBatch[] = [];
  const first = newStamper({});
  const dying = newEngine();
  dying.assign(assignmentOf());
  record(dying, first, before, batches);

  const second = newStamper(saved(first));
  const engine = newEngine({ samplePeriodS: null }, { resume: second.engineResume() });
  engine.assign(assignmentOf());
  const told: string[] = [];
  await resumePass({
    engine,
    stamper: second,
    recorder: { addPass: () => told.push('closed') } as never,
    capture: { tell: () => told.push('resumed') } as never,
    events: { emit: () => undefined } as never,
    outbox: storeOf(batches),
    committedSeq: batches.length,
  });
  expect(told).toEqual(['resumed']);
  engine.push(concatChunks(after));
  engine.finish();
  const [resumed] = closedPasses(engine.drain());
  const { startS: _a, endS: _b, stops: _c, ...pass } = resumed!.pass;
  const { startS: _d, endS: _e, stops: _f, ...whole } = expected!.pass;
  expect(pass.arcTimeS).toBeCloseTo(whole.arcTimeS, 9);
  expect(pass.arcEnergyKj).toBeCloseTo(whole.arcEnergyKj!, 2);
  expect(pass).toMatchObject({ index: 1, continues: null, restarts: 0, unobservedS: whole.unobservedS });
  expect(pass.unobservedS).toBeCloseTo(3.01, 6);
  expect(pass.endPositionMm).toBeCloseTo(whole.endPositionMm!, 6);
  expect(pass.positionUncertaintyMm).toBeCloseTo(whole.positionUncertaintyMm!, 6);
  expect(resumed!.startUs).toBe(expected!.startUs);
});

/** What a store answers that holds these batches and has lost samples of none. */
const storeOf = (batches: readonly StoredBatch[]) => ({
  read: async (from: number, limit: number) => batches.slice(from - 1, from - 1 + limit),
  firstSeqSince: async (us: number) =>
    batches.find(({ closedUs }) => closedUs >= us)?.seq ?? batches.length + 1,
  reducedFrom: async (seq: number) => batches.filter(batch => batch.seq >= seq && batch.reduced).length,
});

test.each([
  ['cannot be read at all', (n: number) => n >= 0],
  ['cannot be read to its end', (n: number) => n > 1],
])('a store that %s: the pass welded next is another one, which goes on from it', async (_, fails) => {
  const signal = new SignalWriter({ periodS: 0.01 });
  const first = newStamper({});
  const dying = newEngine();
  dying.assign(assignmentOf());
  const batches: StoredBatch[] = [];
  const seconds = (n: number, reading: object) => Array.from({ length: n }, () => signal.stretch(1, reading));
  record(dying, first, [...seconds(20, ARC), ...seconds(2, OFF), ...seconds(200, ARC)], batches);
  const second = newStamper(saved(first));
  // As an edge does it: the engine is there before it is known what becomes of the pass.
  const engine = newEngine({}, { resume: second.engineResume() });
  engine.assign(assignmentOf());
  const closed: number[] = [];
  const store = storeOf(batches);
  let reads = 0;
  await resumePass({
    committedSeq: batches.length,
    engine,
    stamper: second,
    recorder: { addPass: ({ pass }: { pass: { index: number } }) => closed.push(pass.index) } as never,
    capture: { tell: () => undefined } as never,
    events: { emit: () => undefined } as never,
    outbox: {
      ...store,
      read: async (from, limit) => {
        if (fails(reads++)) throw new Error('unreadable');
        return store.read(from, limit);
      },
    },
  });
  expect(closed).toEqual([1]);
  expect(engine.drain()).toEqual([]);
  signal.skip(30);
  engine.push(signal.stretch(10, ARC));
  engine.finish();
  const [next] = closedPasses(engine.drain());
  expect(next!.pass).toMatchObject({ index: 2, continues: 1, arcTimeS: expect.closeTo(9.99, 3) });
  // Its place is where the pass was last summed up, at the stop: 20 s of 7.5 mm/s at the reference radius.
  expect(next!.pass.startPositionMm).toBeCloseTo(second.engineResume().openPass!.endPositionMm!, 6);
});

test('a pass that stood open for long is fed again a page at a time', async () => {
  const signal = new SignalWriter({ periodS: 0.1 });
  const first = newStamper({});
  const dying = newEngine({ samplePeriodS: 0.1 });
  dying.assign(assignmentOf());
  const batches: StoredBatch[] = [];
  const seconds = (n: number, reading: object) => Array.from({ length: n }, () => signal.stretch(1, reading));
  record(dying, first, [...seconds(20, ARC), ...seconds(2000, OFF)], batches);
  const second = newStamper(saved(first));
  const engine = newEngine({ samplePeriodS: null }, { resume: second.engineResume() });
  engine.assign(assignmentOf());
  let held = 0;
  let most = 0;
  const store = storeOf(batches);
  const push = engine.push.bind(engine);
  engine.push = chunk => {
    held--;
    push(chunk);
  };
  const told: string[] = [];
  await resumePass({
    committedSeq: batches.length,
    engine,
    stamper: second,
    recorder: { addPass: () => told.push('closed') } as never,
    capture: { tell: () => told.push('resumed') } as never,
    events: { emit: () => undefined } as never,
    outbox: {
      ...store,
      read: async (from, limit) => {
        const some = await store.read(from, limit);
        held += some.length;
        most = Math.max(most, held);
        return some;
      },
    },
  });
  expect(told).toEqual(['resumed']);
  expect(held).toBe(0);
  expect(most).toBeLessThanOrEqual(64);
});

test('a pass that stood open for longer than can be fed again in time is closed as last summed up', async () => {
  const signal = new SignalWriter({ periodS: 0.01 });
  const first = newStamper({});
  const dying = newEngine();
  dying.assign(assignmentOf());
  record(dying, first, [signal.stretch(20, ARC), signal.stretch(2, OFF)], []);
  const engine = newEngine({}, { resume: newStamper(saved(first)).engineResume() });
  const closed: { state: string; pass: { arcTimeS: number } }[] = [];
  let reads = 0;
  await resumePass({
    engine,
    stamper: newStamper(saved(first)),
    recorder: { addPass: (pass: (typeof closed)[number]) => closed.push(pass) } as never,
    capture: { tell: () => undefined } as never,
    events: { emit: () => undefined } as never,
    outbox: {
      firstSeqSince: async () => 1,
      reducedFrom: async () => 0,
      read: async () => {
        reads++;
        return [];
      },
    },
    // Six hours at a batch a second.
    committedSeq: 21_600,
  });
  expect(reads).toBe(0);
  // Summed up when its arc stopped: nothing of it is missing.
  expect(closed).toMatchObject([{ state: 'closed', pass: { arcTimeS: expect.closeTo(20, 2) } }]);
});

test('a store that cannot be read closes the pass as far as it was summed up, and its number is not used again', async () => {
  const signal = new SignalWriter({ periodS: 0.01 });
  const first = newStamper({});
  const dying = newEngine();
  dying.assign(assignmentOf());
  record(dying, first, [signal.stretch(5, ARC), signal.stretch(2, OFF), signal.stretch(2, ARC)], []);
  const second = newStamper(saved(first));
  const closed: string[] = [];
  await resumePass({
    engine: newEngine(),
    stamper: second,
    recorder: { addPass: (pass: { state: string }) => closed.push(pass.state) } as never,
    capture: { tell: () => undefined } as never,
    events: { emit: () => undefined } as never,
    outbox: { ...storeOf([]), read: () => Promise.reject(new Error('unreadable')) },
    committedSeq: 3,
  });
  expect(closed).toEqual(['closed']);
  expect(second.engineResume().lastPassIndex).toBe(1);
});
