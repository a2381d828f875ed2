/** An arc that burns on, as measured: values that drift and noise on them, quantised; the same for a seed. */
import type { Channel } from '#core/sample/channels';
import type { SampleChunk } from '#core/sample/chunk';
import { quantise } from '#core/sample/codec';
import { seededRandom } from './weld-signal.ts';

interface Noise {
  readonly channel: Channel;
  readonly mean: number;
  /** Standard deviation of what drifts, with a memory of `memoryS`, and of what does not. */
  readonly drift: number;
  readonly memoryS: number;
  readonly white: number;
}

const NOISE: readonly Noise[] = [
  { channel: 'weldingCurrent', mean: 236, drift: 4, memoryS: 0.05, white: 1 },
  { channel: 'arcVoltage', mean: 24, drift: 0.3, memoryS: 0.05, white: 0.1 },
  { channel: 'wireFeedSpeed', mean: 171, drift: 0.3, memoryS: 0.5, white: 0.1 },
  { channel: 'travelSpeed', mean: 7.5, drift: 0.02, memoryS: 0.5, white: 0.01 },
];

export function noisySignal(n: number, rateHz: number, startUs = 0, seed = 1): SampleChunk {
  const random = seededRandom(seed);
  // Twelve even numbers less six: as good as normal.
  const normal = (): number => {
    let sum = -6;
    for (let i = 0; i < 12; i++) sum += random();
    return sum;
  };
  const columns: { [K in Channel]?: Float64Array } = {};
  for (const { channel, mean, drift, memoryS, white } of NOISE) {
    const keeps = Math.exp(-1 / (memoryS * rateHz));
    const column = new Float64Array(n);
    let away = drift * normal();
    for (let i = 0; i < n; i++) {
      away = keeps * away + drift * Math.sqrt(1 - keeps * keeps) * normal();
      column[i] = quantise(channel, mean + away + white * normal());
    }
    columns[channel] = column;
  }
  const tUs = Float64Array.from({ length: n }, (_, i) => startUs + (i * 1e6) / rateHz);
  return { n, tUs, lengthUs: null, columns };
}
