/** Builders of test signals. Invented values: they exercise rules and prove no number of the trade. */

import fc from 'fast-check';
import type { Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';
import type { ReferenceSample } from './contract-reference.ts';

/** Samples as a chunk; a channel that no sample has is left out, one that some lack is unknown there. */
export function toChunk(samples: readonly ReferenceSample[]): SampleChunk {
  const columns: { [K in Channel]?: Float64Array } = {
    weldingCurrent: Float64Array.from(samples, s => s.current),
    arcVoltage: Float64Array.from(samples, s => s.voltage),
  };
  const optional = { power: 'power', wireFeedSpeed: 'wireFeed', travelSpeed: 'travel' } as const;
  for (const [channel, key] of Object.entries(optional) as [
    keyof typeof optional,
    'power' | 'wireFeed' | 'travel',
  ][]) {
    if (samples.some(s => s[key] !== undefined)) {
      columns[channel] = Float64Array.from(samples, s => s[key] ?? Number.NaN);
    }
  }
  return {
    n: samples.length,
    tUs: Float64Array.from(samples, s => Math.round(s.t * 1e6)),
    lengthUs: null,
    columns,
  };
}

interface Phase {
  readonly kind: 'idle' | 'strike' | 'arc' | 'drop' | 'held' | 'gap' | 'feedStill';
  readonly seconds: number;
}

const phase: fc.Arbitrary<Phase> = fc.record({
  kind: fc.constantFrom('idle', 'strike', 'arc', 'arc', 'arc', 'drop', 'held', 'gap', 'feedStill'),
  seconds: fc.oneof(
    fc.integer({ min: 1, max: 60 }).map(n => n / 100),
    fc.integer({ min: 1, max: 30 }).map(n => n / 10),
    fc.integer({ min: 14, max: 17 }),
  ),
});

/** How to make a recording: small enough to read when a property fails. */
export interface Recipe {
  readonly periodS: number;
  readonly phases: readonly Phase[];
  readonly jitter: boolean;
  readonly withPower: boolean;
  readonly seed: number;
}

export const recipeArbitrary: fc.Arbitrary<Recipe> = fc.record({
  periodS: fc.constantFrom(0.01, 0.02, 0.1),
  phases: fc.array(phase, { minLength: 1, maxLength: 12 }),
  jitter: fc.boolean(),
  withPower: fc.boolean(),
  seed: fc.integer({ min: 1, max: 1e6 }),
});

/** The samples of a recipe, times on a microsecond grid. */
export function recordingOf({ periodS, phases, jitter, withPower, seed }: Recipe): ReferenceSample[] {
  const random = lcg(seed);
  const samples: ReferenceSample[] = [];
  let us = 0;
  for (const { kind, seconds } of phases) {
    if (kind === 'gap') {
      us += Math.round(seconds * 1e6);
      continue;
    }
    const count = Math.max(1, Math.round(seconds / periodS));
    const heldAmps = 100 + Math.floor(random() * 100);
    for (let i = 0; i < count; i++) {
      samples.push(reading(kind, us / 1e6, random, heldAmps, withPower));
      us += Math.round(periodS * 1e6 * (jitter ? 0.8 + 0.4 * random() : 1));
    }
  }
  return samples;
}

function reading(
  kind: Phase['kind'],
  t: number,
  random: () => number,
  heldAmps: number,
  withPower: boolean,
): ReferenceSample {
  const burning = kind === 'arc' || kind === 'feedStill';
  const current =
    kind === 'held'
      ? heldAmps
      : burning
        ? 150 + 100 * random()
        : kind === 'strike'
          ? 20 + 30 * random()
          : 5 * random();
  const voltage = kind === 'held' ? 24.5 : burning ? 20 + 6 * random() : 60 * random();
  const wireFeed = kind === 'idle' || kind === 'feedStill' ? 0 : 150 + 10 * random();
  const travel = burning || kind === 'drop' ? 6 + 2 * random() : 0;
  const power = withPower ? { power: current * voltage * (1 + 0.1 * random()) } : {};
  return { t, current, voltage, wireFeed, travel, ...power };
}

/** A small generator for test data: the same numbers for the same seed. */
export function lcg(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}
