import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Pass } from '#core/messages/pass';
import type { EngineSettings } from '#core/pass/engine-api';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import { sliceChunk } from '#core/sample/chunk';
import { type ReferenceSample, referencePasses } from '../support/contract-reference.ts';
import { recipeArbitrary, recordingOf, toChunk } from '../support/signals.ts';

function run(
  samples: readonly ReferenceSample[],
  settings: Partial<EngineSettings>,
  cuts: readonly number[] = [],
): Pass[] {
  const engine = createPassEngine({ ...DEFAULT_ENGINE_SETTINGS, ...settings });
  const chunk = toChunk(samples);
  const edges = [0, ...[...new Set(cuts.map(cut => cut % chunk.n))].sort((a, b) => a - b), chunk.n];
  edges.forEach((from, i) => {
    if (i + 1 < edges.length) engine.push(sliceChunk(chunk, from, edges[i + 1]!));
  });
  engine.finish();
  return engine
    .drain()
    .flatMap(effect => (effect.kind === 'pass' && effect.state === 'closed' ? [effect.pass] : []));
}

describe('the engine against an independent computation of its rules', () => {
  test('arc time, energy, run-out, wire, stops and unobserved time agree', () => {
    fc.assert(
      fc.property(recipeArbitrary, recipe => {
        const { periodS } = recipe;
        const samples = recordingOf(recipe);
        fc.pre(samples.length > 1);
        const passes = run(samples, { samplePeriodS: periodS });
        const expected = referencePasses(samples, periodS);
        expect(passes.length).toBe(expected.length);
        expected.forEach((want, i) => {
          const got = passes[i]!;
          const first = samples[0]!.t;
          expect(got.startS).toBeCloseTo(want.start - first, 6);
          expect(got.endS).toBeCloseTo(want.end - first, 6);
          expect(got.arcTimeS).toBeCloseTo(want.arcTime, 8);
          expect(got.arcEnergyKj).toBeCloseTo(want.energyKj, 8);
          expect(got.extinctions).toBe(want.extinctions);
          expect(got.restarts).toBe(want.restarts);
          expect(got.unobservedS).toBeCloseTo(want.unobserved, 6);
          if (want.arcTime > 0) {
            expect(got.runOutLengthMm).toBeCloseTo(want.runOut, 6);
            expect(got.wireUsedM).toBeCloseTo(want.wireMm / 1000, 8);
          }
          expect(got.reasons.some(reason => reason.code === want.ended)).toBe(want.ended !== 'stopped');
        });
      }),
      { numRuns: 400 },
    );
  });

  test('the same samples in any pieces give the same passes to the last bit', () => {
    fc.assert(
      fc.property(recipeArbitrary, fc.array(fc.nat(), { maxLength: 20 }), (recipe, cuts) => {
        const { periodS } = recipe;
        const samples = recordingOf(recipe);
        fc.pre(samples.length > 1);
        expect(run(samples, { samplePeriodS: periodS }, cuts)).toEqual(
          run(samples, { samplePeriodS: periodS }),
        );
      }),
      { numRuns: 150 },
    );
  });

  test('held values are used when the source is said to be constant', () => {
    fc.assert(
      fc.property(recipeArbitrary, recipe => {
        const { periodS } = recipe;
        const samples = recordingOf(recipe);
        fc.pre(samples.length > 1);
        const passes = run(samples, { samplePeriodS: periodS, heldAfterS: null });
        const expected = referencePasses(samples, periodS, null);
        expect(passes.map(pass => pass.restarts)).toEqual(expected.map(pass => pass.restarts));
        expected.forEach((want, i) => {
          expect(passes[i]!.arcEnergyKj).toBeCloseTo(want.energyKj, 8);
        });
      }),
      { numRuns: 150 },
    );
  });
});
