/** Changes along the weld do not depend on how samples arrived, nor on a restart of the program between passes or in one. */
import fc from 'fast-check';
import { beforeAll, expect, test } from 'vitest';
import { bookEntrySchema, type DriftBook } from '#core/drift/baseline-book';
import type { EngineEffect } from '#core/pass/engine-api';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { DriftRig, type DriftWeld, driftProcedure, driftWeld } from '../support/drift-weld.ts';
import { assignmentOf, closedPasses, newEngine } from '../support/engine-run.ts';

let book: DriftBook = [];
beforeAll(() => {
  const rig = new DriftRig(newEngine({ samplePeriodS: 0.02 }));
  rig.learn();
  book = rig.engine.driftBook;
});

const channel = fc.constantFrom('weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed', 'gasFlow');
const sizes = { weldingCurrent: 10, arcVoltage: 1, wireFeedSpeed: 6, travelSpeed: 0.5, gasFlow: 1 };
const recipe = fc
  .record({
    seed: fc.integer({ min: 1, max: 1e6 }),
    channel,
    atMm: fc.integer({ min: 60, max: 250 }),
    share: fc.double({ min: -1, max: 1, noNaN: true }),
    ramp: fc.boolean(),
    stop: fc.option(fc.integer({ min: 50, max: 280 })),
    gap: fc.option(fc.integer({ min: 50, max: 280 })),
  })
  .map(({ seed, channel: name, atMm, share, ramp, stop, gap }): DriftWeld => {
    const size = share * sizes[name];
    const change = (mm: number): number =>
      mm < atMm ? 0 : ramp ? size * Math.min(1, (mm - atMm) / 120) : size;
    return {
      seed,
      lengthMm: 320,
      change: { [name]: change },
      stops: stop === null ? [] : [{ atMm: stop, pauseS: 4 }],
      gaps: gap === null ? [] : [{ atMm: gap, seconds: 1 }],
    };
  });

function run(chunk: SampleChunk, cuts: readonly number[], driftBook: DriftBook): EngineEffect[] {
  const engine = newEngine({ samplePeriodS: 0.02 }, { driftBook });
  engine.assign(assignmentOf({ procedure: driftProcedure() }));
  const edges = [0, ...[...new Set(cuts.map(cut => cut % chunk.n))].sort((a, b) => a - b), chunk.n];
  edges.forEach((from, i) => {
    if (i + 1 < edges.length) engine.push(sliceChunk(chunk, from, edges[i + 1]!));
  });
  engine.finish();
  return engine.drain();
}

test('the same samples in any pieces give the same calls, events and record to the last bit', () => {
  fc.assert(
    fc.property(recipe, fc.array(fc.nat(), { maxLength: 20 }), (weld, cuts) => {
      const chunk = driftWeld(weld);
      expect(run(chunk, cuts, book)).toEqual(run(chunk, [], book));
    }),
    { numRuns: 60 },
  );
});

test('a book that was written down and read again judges the same', () => {
  fc.assert(
    fc.property(recipe, weld => {
      const chunk = driftWeld(weld);
      const read = (JSON.parse(JSON.stringify(book)) as unknown[]).map(entry => bookEntrySchema.parse(entry));
      expect(run(chunk, [], read)).toEqual(run(chunk, [], book));
    }),
    { numRuns: 20 },
  );
});

test('a pass that is fed again from its beginning, up to anywhere, goes on to the same record', () => {
  fc.assert(
    fc.property(recipe, fc.nat(), (weld, cut) => {
      const chunk = driftWeld(weld);
      const at = cut % chunk.n;
      const whole = closedPasses(run(chunk, [], book))[0];
      const engine = newEngine({ samplePeriodS: 0.02 }, { driftBook: book });
      engine.assign(assignmentOf({ procedure: driftProcedure() }));
      engine.push(sliceChunk(chunk, 0, at));
      // What the first program said is on record; the second is fed the same and then goes on.
      engine.drain();
      engine.push(sliceChunk(chunk, at, chunk.n));
      engine.finish();
      expect(closedPasses(engine.drain())[0]?.pass.drift ?? null).toEqual(whole?.pass.drift ?? null);
    }),
    { numRuns: 40 },
  );
});

test('calls stand in order, each after its onset; what was called for more than a trim teaches nothing', () => {
  fc.assert(
    fc.property(recipe, weld => {
      for (const { pass } of closedPasses(run(driftWeld(weld), [], book))) {
        const { teaches, calls, windows } = pass.drift!;
        const changed = calls.some(({ rule }) => rule !== 'trim');
        const count = windows.reduce((sum, one) => sum + one.windows, 0);
        if (teaches.good) {
          expect(changed).toBe(false);
          expect(count).toBeGreaterThanOrEqual(8);
        } else expect(teaches.why).not.toBeNull();
        calls.forEach((call, i) => {
          expect(call.number).toBe(i + 1);
          expect(call.calledMm!).toBeGreaterThan(call.fromMm!);
          if (call.toMm !== null) expect(call.toMm).toBeGreaterThanOrEqual(call.fromMm!);
        });
      }
    }),
    { numRuns: 60 },
  );
});
