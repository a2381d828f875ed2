import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Coverage, coverageOf, gapsIn } from '#core/series/coverage';
import { joinHistory } from '#core/series/join-history';
import { extremesOf, MinMaxBuckets } from '#core/series/min-max';

/** Strictly increasing whole times with values, some of them unknown. */
const samples = fc
  .array(
    fc.tuple(fc.integer({ min: 1, max: 5000 }), fc.option(fc.double({ noNaN: true, min: -1e6, max: 1e6 }))),
    {
      minLength: 1,
      maxLength: 200,
    },
  )
  .map(steps => {
    let t = 1000;
    const tUs = new Float64Array(steps.length);
    const values = new Float64Array(steps.length);
    steps.forEach(([step, value], i) => {
      t += step;
      tUs[i] = t;
      values[i] = value ?? Number.NaN;
    });
    return { tUs, values };
  });
const range = fc.tuple(fc.integer({ min: 0, max: 100_000 }), fc.integer({ min: 1, max: 500_000 }));

function reduce(tUs: Float64Array, values: Float64Array, fromUs: number, toUs: number, count: number) {
  const buckets = new MinMaxBuckets(fromUs, toUs, count);
  buckets.addSamples(tUs, values);
  return { buckets, series: buckets.finish() };
}

describe('min–max reduction', () => {
  it('keeps every extreme: each sample lies in its bucket between a least and a greatest that occur there', () => {
    fc.assert(
      fc.property(
        samples,
        range,
        fc.integer({ min: 1, max: 50 }),
        ({ tUs, values }, [fromUs, length], count) => {
          const toUs = fromUs + length;
          const { buckets, series } = reduce(tUs, values, fromUs, toUs, count);
          const byStart = new Map(
            series.tUs.map((t, i) => [t, { min: series.min[i]!, max: series.max[i]! }]),
          );
          const met = new Map<number, number[]>();
          tUs.forEach((t, i) => {
            const value = values[i]!;
            const bucket = buckets.bucketOf(t);
            expect(bucket >= 0).toBe(t >= fromUs && t <= toUs);
            if (bucket < 0 || Number.isNaN(value)) return;
            const start = fromUs + bucket * buckets.widthUs;
            met.set(start, [...(met.get(start) ?? []), value]);
          });
          expect(series.tUs).toEqual([...met.keys()].sort((a, b) => a - b));
          for (const [start, inBucket] of met) {
            expect(byStart.get(start)).toEqual({ min: Math.min(...inBucket), max: Math.max(...inBucket) });
          }
          expect(series.tUs.length).toBeLessThanOrEqual(count);
        },
      ),
    );
  });

  it('a run inside one bucket may be given by its extremes alone', () => {
    fc.assert(
      fc.property(samples, ({ tUs, values }) => {
        const fromUs = 0;
        const toUs = tUs.at(-1)! + 1;
        const all = reduce(tUs, values, fromUs, toUs, 1).series;
        const buckets = new MinMaxBuckets(fromUs, toUs, 1);
        const half = tUs.length >> 1;
        for (const part of [values.subarray(0, half), values.subarray(half)]) {
          const extremes = extremesOf(part);
          if (extremes) buckets.addExtremes(0, extremes.min, extremes.max);
        }
        expect(buckets.finish()).toEqual(all);
      }),
    );
  });

  it('does not depend on how the samples are cut into chunks', () => {
    fc.assert(
      fc.property(samples, fc.integer({ min: 1, max: 20 }), fc.nat(), ({ tUs, values }, count, seed) => {
        const toUs = tUs.at(-1)! + 1;
        const cut = seed % (tUs.length + 1);
        const buckets = new MinMaxBuckets(0, toUs, count);
        buckets.addSamples(tUs.subarray(0, cut), values.subarray(0, cut));
        buckets.addSamples(tUs.subarray(cut), values.subarray(cut));
        expect(buckets.finish()).toEqual(reduce(tUs, values, 0, toUs, count).series);
      }),
    );
  });
});

describe('gaps', () => {
  it('are the same however the samples are cut into chunks too short to tell a period', () => {
    const steps = fc.array(fc.oneof(fc.constant(10_000), fc.integer({ min: 300_000, max: 2_000_000 })), {
      minLength: 4,
      maxLength: 60,
    });
    fc.assert(
      fc.property(steps, fc.integer({ min: 1, max: 5 }), (lengths, size) => {
        let t = 1_000_000;
        // Ten regular samples first: every chunk then knows the sample period, or takes the one before it.
        const times = [
          ...Array.from({ length: 10 }, () => (t += 10_000)),
          ...lengths.map(step => (t += step)),
        ];
        const expected: { fromUs: number; toUs: number }[] = [];
        for (let i = 1; i < times.length; i++) {
          // Our definition: longer than 5 periods and than 0.25 s; the period is 0.01 s here.
          if (times[i]! - times[i - 1]! > 250_000) expected.push({ fromUs: times[i - 1]!, toUs: times[i]! });
        }
        const covered: Coverage[] = [];
        for (let i = 0; i < times.length; ) {
          // The first chunk holds the regular samples, so that it tells the period.
          const part = times.slice(i, i === 0 ? 10 : i + size);
          const chunk = { n: part.length, tUs: Float64Array.from(part), lengthUs: null, columns: {} };
          covered.push(coverageOf(chunk, covered.at(-1)?.periodUs ?? null));
          i += part.length;
        }
        expect(gapsIn(covered, times[0]!, times.at(-1)!)).toEqual(expected);
      }),
    );
  });
});

describe('history and live as one series', () => {
  it('increases, holds all history, and of the live points exactly the newer known ones', () => {
    fc.assert(
      fc.property(samples, samples, (history, live) => {
        const stored = reduce(history.tUs, history.values, 0, history.tUs.at(-1)! + 1, 1000).series;
        const points = [...live.tUs].map((tUs, i) => ({
          tUs,
          value: Number.isNaN(live.values[i]!) ? null : live.values[i]!,
        }));
        const joined = joinHistory(stored, points);
        const last = stored.tUs.at(-1) ?? Number.NEGATIVE_INFINITY;
        const newer = points.filter(point => point.tUs > last && point.value !== null);
        expect(joined.tUs).toEqual([...stored.tUs, ...newer.map(point => point.tUs)]);
        expect(joined.max.slice(stored.max.length)).toEqual(newer.map(point => point.value));
        for (let i = 1; i < joined.tUs.length; i++) expect(joined.tUs[i]! > joined.tUs[i - 1]!).toBe(true);
      }),
    );
  });
});
