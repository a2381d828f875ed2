import { CHANNELS, type Channel } from '#core/sample/channels';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { decodeChunk, encodeChunk } from '#core/sample/codec';
import { decodeDense, encodeDense } from '#core/sample/dense-codec';
import { atMost, type Benchmark, type Figure } from '../harness/figure.ts';
import { show, spreadOf } from '../harness/measure.ts';
import { noisySignal } from '../harness/noisy-signal.ts';

const SAMPLES = 48_000;
const SETS = [
  { rateHz: 100, chunk: 100, what: '1 s chunks at 100 Hz' },
  { rateHz: 1000, chunk: 3000, what: 'chunks of 3000 at 1 kHz' },
  { rateHz: 100, chunk: 8000, what: 'stretches of 8000 at 100 Hz, as the store keeps them' },
] as const;

/** Bits a value: − Σ p log2 p over how often each occurs. */
function entropy(values: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return [...counts.values()].reduce((sum, n) => sum - (n / values.length) * Math.log2(n / values.length), 0);
}

/** Bytes a sample that a code of single values could come down to: of the steps or of their differences, the less. */
function order0Bytes({ columns }: SampleChunk): number {
  const bits = Object.entries(columns).map(([name, column]) => {
    const perUnit = Math.round(1 / CHANNELS[name as Channel].resolution);
    const steps = Array.from(column, value => Math.round(value * perUnit));
    const differences = steps.slice(1).map((step, i) => step - steps[i]!);
    return Math.min(entropy(steps), entropy(differences));
  });
  return bits.reduce((a, b) => a + b, 0) / 8;
}

function jsonBytes(chunk: SampleChunk): number {
  const rows = Array.from({ length: chunk.n }, (_, i) => ({
    t: chunk.tUs[i],
    ...Object.fromEntries(Object.entries(chunk.columns).map(([name, column]) => [name, column[i]])),
  }));
  return JSON.stringify(rows).length;
}

function sameSamples(a: SampleChunk, b: SampleChunk): boolean {
  const same = (x: Float64Array, y: Float64Array): boolean =>
    x.length === y.length && x.every((v, i) => v === y[i]);
  return (
    same(a.tUs, b.tUs) &&
    Object.entries(a.columns).every(([name, column]) => same(column, b.columns[name as Channel]!))
  );
}

function sizes(signal: SampleChunk, length: number, encode: (chunk: SampleChunk) => Uint8Array) {
  const decode = encode === encodeDense ? decodeDense : decodeChunk;
  let bytes = 0;
  for (let from = 0; from < signal.n; from += length) {
    const chunk = sliceChunk(signal, from, from + length);
    const encoded = encode(chunk);
    if (!sameSamples(decode(encoded), chunk)) throw new Error('samples came back otherwise');
    bytes += encoded.length;
  }
  return bytes / signal.n;
}

export const codecSize: Benchmark = {
  id: 'G5',
  title: 'codec',
  how: `${SAMPLES} samples of four channels (drift and noise, quantised) through the dense codec of samples at rest, times and heads of the chunks included, against the order-0 entropy of each channel's values or of their differences, whichever is less, taken over the whole signal; and through the codec of the line. Every chunk must come back to the last bit. A size, so nothing of it depends on the machine.`,
  run: async () => {
    const figures = SETS.flatMap(({ rateHz, chunk, what }): Figure[] => {
      const signal = noisySignal(SAMPLES, rateHz);
      const bound = order0Bytes(signal);
      const dense = sizes(signal, chunk, encodeDense);
      const ratio = spreadOf([dense / bound]);
      return [
        {
          id: 'G5',
          what: `bytes against order-0 entropy, ${what}`,
          goal: '≤ 1.05×',
          ratio,
          subject: show(dense, 'B/sample'),
          baseline: show(bound, 'B/sample'),
          verdict: atMost(ratio, 1.05),
        },
      ];
    });
    const signal = noisySignal(SAMPLES, 100);
    const line = sizes(signal, 100, encodeChunk);
    const json = jsonBytes(signal) / signal.n;
    return [
      ...figures,
      {
        id: 'G5',
        what: 'bytes of the line codec, 1 s chunks at 100 Hz, against JSON',
        goal: 'none',
        ratio: spreadOf([line / json]),
        subject: show(line, 'B/sample'),
        baseline: show(json, 'B/sample'),
        verdict: 'for information',
      },
    ];
  },
};
