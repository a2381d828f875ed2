import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { assignmentOf, newEngine } from '../support/engine-run.ts';
import { effectsOf } from '../support/pass-confusion.ts';
import {
  BAND_RADIUS_MM,
  EXAMPLE_NAMES,
  exampleProcedure,
  SEVERITIES,
  setPointOf,
  simulatedPass,
  wrongSet,
} from '../support/simulated-pass.ts';

const EXAMPLE = exampleProcedure(process.cwd());

/** The device says its number only at some samples. */
function sparse(chunk: SampleChunk, every: number): SampleChunk {
  const program = chunk.columns.program!.map((value, i) => (i % every === 0 ? value : Number.NaN));
  return { ...chunk, columns: { ...chunk.columns, program } };
}

test('the same samples in any pieces are compared alike, to the last bit', () => {
  fc.assert(
    fc.property(
      fc.record({
        assigned: fc.constantFrom(...EXAMPLE_NAMES),
        set: fc.constantFrom(...EXAMPLE_NAMES),
        severity: fc.constantFrom(...SEVERITIES),
        seed: fc.integer({ min: 1, max: 1000 }),
        every: fc.constantFrom(1, 7, 90, 400),
        cuts: fc.array(fc.nat(), { maxLength: 60 }),
      }),
      ({ assigned, set, severity, seed, every, cuts }) => {
        const changeMm = 30;
        const faults = [
          {
            kind: 'stopRestart' as const,
            size: 2,
            fromMm: 40,
            toMm: null,
            rampMm: 0,
            otherPass: null,
            channel: null,
          },
          {
            kind: 'wrongPass' as const,
            size: 1,
            fromMm: changeMm,
            toMm: null,
            rampMm: 0,
            otherPass: assigned,
            channel: null,
          },
        ];
        const running = wrongSet(setPointOf(assigned), setPointOf(set), severity);
        const chunk = sparse(simulatedPass(running, { seed, lengthMm: 80, faults }), every);
        const engine = newEngine({ samplePeriodS: 0.02, referenceRadiusMm: BAND_RADIUS_MM });
        engine.assign(assignmentOf({ pass: assigned, procedure: EXAMPLE }));
        const edges = [0, ...[...new Set(cuts.map(cut => cut % chunk.n))].sort((a, b) => a - b), chunk.n];
        edges.slice(1).forEach((to, i) => {
          engine.push(sliceChunk(chunk, edges[i]!, to));
        });
        engine.finish();
        expect(engine.drain()).toEqual(effectsOf(chunk, assigned, EXAMPLE));
      },
    ),
    { numRuns: 60 },
  );
});
