import { expect, test } from 'vitest';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';

/** Held stretches that the engine tells of 4 s in which a source at this period repeats one reading. */
function heldStretches(samplePeriodS: number): number {
  const engine = createPassEngine({ ...DEFAULT_ENGINE_SETTINGS, samplePeriodS });
  const n = Math.round(4 / samplePeriodS);
  engine.push({
    n,
    tUs: Float64Array.from({ length: n }, (_, i) => Math.round(i * samplePeriodS * 1e6)),
    lengthUs: null,
    columns: {
      weldingCurrent: new Float64Array(n).fill(200),
      arcVoltage: new Float64Array(n).fill(24),
    },
  });
  engine.finish();
  return engine.drain().filter(effect => effect.kind === 'event' && effect.type === 'signalHeld').length;
}

// The limit of 10 samples a second is the job's own rule (docs/engine.md "Held"), no outside source.
test('readings can only be held at 10 samples a second or more', () => {
  expect(heldStretches(0.01)).toBe(1);
  expect(heldStretches(0.1)).toBe(1);
  expect(heldStretches(0.101)).toBe(0);
  expect(heldStretches(0.2)).toBe(0);
});
