/**
 * Samples at rest: lossless, smaller than the entropy of their deltas would have it, and summaries that say the same
 * extremes as the samples do. Reference for the size: C. E. Shannon, A Mathematical Theory of Communication (1948),
 * section 6: the entropy of order 0. Least and greatest are held against a plain walk over the samples.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CHANNEL_NAMES, CHANNELS, type Channel } from '#core/sample/channels';
import { rejoinSlices, type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { quantise } from '#core/sample/codec';
import { decodeAllDense, decodeDense, encodeDense } from '#core/sample/dense-codec';
import { MinMaxBuckets } from '#core/series/min-max';
import { addLevel, decodeZoom, encodeZoom, levelRows, widestFor, zoomLevels } from '#core/series/zoom-levels';

const START_US = Date.UTC(2026, 4, 12, 8) * 1000;
const value = fc.oneof(
  { weight: 5, arbitrary: fc.double({ min: -2000, max: 2000, noNaN: true }) },
  { weight: 1, arbitrary: fc.constant(Number.NaN) },
  { weight: 1, arbitrary: fc.double({ min: -1e9, max: 1e9, noNaN: true }) },
);
const step = fc.oneof(
  { weight: 5, arbitrary: fc.constant(10_000) },
  { weight: 1, arbitrary: fc.integer({ min: 1, max: 50_000_000 }) },
);
const chunks = fc
  .record({
    samples: fc.array(fc.record({ stepUs: step, lengthUs: fc.integer({ min: 0, max: 1e6 }), value }), {
      minLength: 1,
      maxLength: 300,
    }),
    channels: fc.subarray([...CHANNEL_NAMES], { minLength: 1 }),
    timed: fc.boolean(),
  })
  .map(({ samples, channels, timed }): SampleChunk => {
    let t = START_US;
    const n = samples.length;
    const columns: { [K in Channel]?: Float64Array } = {};
    channels.forEach((name, c) => {
      columns[name] = Float64Array.from(
        samples,
        (_, i) => quantise(name, samples[(i + 7 * c) % n]!.value) + 0,
      );
    });
    return {
      n,
      tUs: Float64Array.from(samples, ({ stepUs }) => (t += stepUs)),
      lengthUs: timed ? Float64Array.from(samples, ({ lengthUs }) => lengthUs) : null,
      columns,
    };
  });

/** Entropy of order 0 of the deltas of each channel's steps, bytes a sample. */
function entropyBytes({ n, columns }: SampleChunk): number {
  let bits = 0;
  for (const [name, column] of Object.entries(columns) as [Channel, Float64Array][]) {
    const counts = new Map<number, number>();
    let last = 0;
    for (const one of column) {
      const steps = Math.round(one / CHANNELS[name].resolution);
      counts.set(steps - last, (counts.get(steps - last) ?? 0) + 1);
      last = steps;
    }
    for (const count of counts.values()) bits -= (count / n) * Math.log2(count / n);
  }
  return bits / 8;
}

/** Noise of a bell shape around set values, as four channels of an arc show it; the same each time. */
function noisyArc(n: number): SampleChunk {
  let state = 7;
  const random = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state + 1) / 2 ** 32;
  };
  const bell = (): number => Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random());
  const column = (name: Channel, middle: number, sigma: number): Float64Array =>
    Float64Array.from({ length: n }, () => quantise(name, middle + sigma * bell()));
  return {
    n,
    tUs: Float64Array.from({ length: n }, (_, i) => START_US + i * 10_000),
    lengthUs: null,
    columns: {
      weldingCurrent: column('weldingCurrent', 235, 4),
      arcVoltage: column('arcVoltage', 24, 0.3),
      wireFeedSpeed: column('wireFeedSpeed', 171, 0.3),
      travelSpeed: column('travelSpeed', 7.5, 0.02),
    },
  };
}

describe('dense samples', () => {
  it('are read back as they were, to the last bit', () => {
    fc.assert(
      fc.property(chunks, chunk => {
        expect(decodeDense(encodeDense(chunk))).toEqual(chunk);
      }),
    );
  });

  it('are as exact where their numbers leave what 32 bits can sum', () => {
    const edge = fc
      .constantFrom(-1, 1)
      .chain(sign => fc.integer({ min: 2 ** 26, max: 2 ** 29 }).map(v => sign * v));
    const wide = fc.array(fc.oneof(fc.integer({ min: -300, max: 300 }), edge), {
      minLength: 1,
      maxLength: 200,
    });
    fc.assert(
      fc.property(wide, steps => {
        const tUs = Float64Array.from(steps, (_, i) => START_US + 10_000 * i);
        const columns = {
          power: Float64Array.from(steps),
          weldingCurrent: Float64Array.from(steps, v => v / 10),
        };
        const chunk: SampleChunk = { n: steps.length, tUs, lengthUs: null, columns };
        expect(decodeDense(encodeDense(chunk))).toEqual(chunk);
      }),
    );
  });

  it('of the first stores that settled are read as they are', () => {
    const n = 70;
    const column = (of: (i: number) => number): Float64Array =>
      Float64Array.from({ length: n }, (_, i) => of(i));
    const current = (i: number): number => Math.round(2350 + 40 * Math.sin(i)) / 10;
    // Written by encodeDense when it wrote version 2.
    const bytes = Buffer.from(
      [
        'AiIyMAS2mUZo/84AAAAAAAAAAAACcQf/////4EAED////6fOIBCyyyyyyyyyyyyyyyyyyyyxZYkkkkkkkkkkkkkkkkkkkkkk',
        'kkmSSSSSSRJJObJclJCCUvN92hVg3K+1xcmSlq/osbXlL2YmJJn4AAAAAAEqBe1qgAAAAAABKgXtngAAAAAACVAvaHAAAAAA',
        'AEqBeziAAAAAAAJUC9qMAAAAAAASoF7dYAAAAAAAlQL3DQAAAAAABKgXtxgAAAAAACVAvaXLmHJa1yKH0pKRkxdcQm/7Q2SJ',
        'S1f4XNmJS9mADAAAAAAAAAACWB///////////J3WBIH0hck6wn7NJX4iw2QJli5oyYKlCLzan9VhbaS7TpIqYMmi5YqSdcVQ',
        '3aFdfWZeIli40ZMFywA=',
      ].join(''),
      'base64',
    );
    expect(decodeDense(bytes)).toEqual({
      n,
      tUs: column(i => START_US + i * 10_000 + (i === 40 ? 3 : 0)),
      lengthUs: column(i => 10_000 + (i % 3)),
      columns: {
        weldingCurrent: column(i => (i === 30 ? 1e9 : i === 50 ? Number.NaN : current(i))),
        arcVoltage: column(i => (i < 3 ? 0 : 24)),
        travelSpeed: column(i => Math.round(7500 + 20 * Math.cos(i * 3)) / 1000),
      },
    });
  });

  it('read together are what they are alone, and lie side by side where they have the same channels', () => {
    fc.assert(
      fc.property(fc.array(chunks, { maxLength: 4 }), some => {
        expect(decodeAllDense(some.map(encodeDense))).toEqual(some);
      }),
    );
    const arc = noisyArc(900);
    const cuts = [0, 100, 101, 900].map((to, i, all) => sliceChunk(arc, all[i - 1] ?? 0, to));
    const read = decodeAllDense(cuts.map(encodeDense));
    expect(read).toEqual(cuts);
    expect(rejoinSlices(read)).toEqual(arc);
    expect(rejoinSlices(read)!.tUs.buffer).toBe(read[0]!.tUs.buffer);
    expect(rejoinSlices(read.slice(1))).toEqual(sliceChunk(arc, 0, 900));
    const apart = [...decodeAllDense([encodeDense(cuts[1]!)]), ...decodeAllDense([encodeDense(cuts[2]!)])];
    expect(rejoinSlices(apart)).toBeNull();
    expect(rejoinSlices([read[1]!, read[3]!])).toBeNull();
    expect(rejoinSlices([])).toBeNull();
  });

  it('of nothing are nothing', () => {
    const none = { n: 0, tUs: new Float64Array(0), lengthUs: null, columns: { power: new Float64Array(0) } };
    expect(decodeDense(encodeDense(none))).toEqual(none);
  });

  it('take at most 1.05 times the entropy of the deltas in long stretches, little more a second at a time', () => {
    const arc = noisyArc(24_000);
    // What a chunk says once, such as when it begins, is a twelfth of a second's bytes.
    for (const [size, limit] of [
      [100, 1.1],
      [3000, 1.05],
      [8000, 1.05],
    ] as const) {
      let bytes = 0;
      for (let at = 0; at < arc.n; at += size) bytes += encodeDense(sliceChunk(arc, at, at + size)).length;
      expect(bytes / arc.n / entropyBytes(arc)).toBeLessThanOrEqual(limit);
    }
  });

  it('cut short, lengthened or of another version are refused, and any bytes end in a RangeError or a chunk', () => {
    const bytes = encodeDense(noisyArc(500));
    expect(() => decodeDense(bytes.subarray(0, bytes.length - 1))).toThrow(RangeError);
    expect(() => decodeDense(Uint8Array.of(...bytes, 0))).toThrow(RangeError);
    expect(() => decodeDense(Uint8Array.of(1, ...bytes.subarray(1)))).toThrow(RangeError);
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), any => {
        for (const input of [any, Uint8Array.of(3, 0, 0, 0, ...any)]) {
          try {
            decodeDense(input);
          } catch (error) {
            expect(error).toBeInstanceOf(RangeError);
          }
        }
      }),
    );
  });
});

describe('zoom levels', () => {
  it('are read back as they were', () => {
    fc.assert(
      fc.property(chunks, chunk => {
        const levels = zoomLevels(chunk);
        const bytes = encodeZoom(levels);
        for (const level of levels) expect(decodeZoom(bytes, () => level.widthUs)).toEqual(level);
      }),
    );
  });

  it('give each bucket of a view the extremes of its samples, whatever the zoom', () => {
    const zooms = fc.tuple(chunks, fc.integer({ min: 16, max: 400 }), fc.integer({ min: 0, max: 4e6 }));
    fc.assert(
      fc.property(zooms, ([chunk, count, leadUs]) => {
        const [fromUs, toUs] = [chunk.tUs[0]! - leadUs, chunk.tUs.at(-1)! + 1 + leadUs];
        const bytes = encodeZoom(zoomLevels(chunk));
        for (const name of Object.keys(chunk.columns) as Channel[]) {
          const bySamples = MinMaxBuckets.onGrid(fromUs, toUs, count);
          bySamples.addSamples(chunk.tUs, chunk.columns[name]!);
          const byLevel = MinMaxBuckets.onGrid(fromUs, toUs, count);
          const level = decodeZoom(bytes, widestFor(byLevel));
          if (!level) continue;
          addLevel(levelRows(level), new Map([[name, byLevel]]));
          expect(byLevel.finish()).toEqual(bySamples.finish());
          expect(byLevel.finish().tUs.length).toBeLessThanOrEqual(count);
        }
      }),
    );
  });

  it('are found for a view that is wide enough, and are finer than its buckets', () => {
    const arc = noisyArc(24_000);
    const levels = zoomLevels(arc);
    expect(levels.map(({ widthUs }) => widthUs)).toEqual([1e6, 2e6, 4e6, 8e6, 16e6, 32e6, 64e6, 128e6]);
    const widths = levels.map(({ widthUs }) => widthUs);
    const [fromUs, toUs] = [START_US, START_US + 240e6];
    expect(widestFor(MinMaxBuckets.onGrid(fromUs, toUs, 20))(widths)).toBe(2e6);
    expect(widestFor(MinMaxBuckets.onGrid(fromUs, toUs, 1000))(widths)).toBeUndefined();
  });
});
