/** What every sample store must do; each implementation runs this suite. Least and greatest: a plain walk over the samples. */
import { describe, expect, it } from 'vitest';
import { CHAIN_START } from '#core/record/chain';
import { toBase64 } from '#core/sample/base64';
import type { Channel } from '#core/sample/channels';
import { concatChunks, type SampleChunk } from '#core/sample/chunk';
import { encodeChunk, quantise } from '#core/sample/codec';
import type { SampleStore } from '../../../dashboard/server/store/sample-store.ts';
import type { VerifiedRecord } from '../../../dashboard/server/store/store.ts';
import { OTHER_STREAM, START_MS, STREAM, seal, testBody } from '../../support/test-records.ts';
import { RIG, verified } from '../store/store-support.ts';

export interface OpenedSamples {
  readonly samples: SampleStore;
  /** Stored, and wherever samples are to be read from. */
  readonly put: (records: readonly VerifiedRecord[], receivedMs?: number) => Promise<void>;
  readonly readFrom: 'store' | 'influx';
}

const START_US = START_MS * 1000;

/** A second of three channels: noise that is the same each time, values unknown now and then, an outlier at `peakAt`. */
export function second(at: number, { n = 100, startUs = START_US, peakAt = -1 } = {}): SampleChunk {
  const column = (name: Channel, middle: number, spread: number): Float64Array =>
    Float64Array.from({ length: n }, (_, i) => {
      if ((i + at) % 37 === 0) return Number.NaN;
      return quantise(name, middle + (((i * 7919 + at * 104_729) % 1000) / 1000 - 0.5) * spread);
    });
  const weldingCurrent = column('weldingCurrent', 235, 30);
  if (peakAt >= 0) weldingCurrent[peakAt] = 999.9;
  return {
    n,
    tUs: Float64Array.from({ length: n }, (_, i) => startUs + at * 1e6 + Math.round((i * 1e6) / n)),
    lengthUs: null,
    columns: {
      weldingCurrent,
      arcVoltage: column('arcVoltage', 24, 3),
      travelSpeed: column('travelSpeed', 7, 0.5),
    },
  };
}

/** Records of these chunks, in order, of one stream. */
export function recordsOf(
  chunks: readonly SampleChunk[],
  { stream = STREAM, offset = (_: number): number => 0 } = {},
): VerifiedRecord[] {
  let prev = CHAIN_START;
  return chunks.map((chunk, i) => {
    const body = testBody({ utcMinusRecordMs: offset(i) });
    const samples = {
      n: chunk.n,
      firstUs: chunk.tUs[0]!,
      lastUs: chunk.tUs.at(-1)!,
      channels: Object.keys(chunk.columns),
      data: toBase64(encodeChunk(chunk)),
    };
    const record = seal(JSON.stringify({ ...body, samples }), i + 1, prev, stream);
    prev = record.hash;
    return verified(record);
  });
}

const seconds = (count: number): SampleChunk[] => Array.from({ length: count }, (_, i) => second(i));
const range = (fromS: number, toS: number) =>
  ({ kind: 'record', fromUs: START_US + fromS * 1e6, toUs: START_US + toS * 1e6 }) as const;

export function describeSampleStore(name: string, open: () => Promise<OpenedSamples>): void {
  describe(`${name}: samples`, () => {
    it('are read back exactly as they were recorded, times and unknown values too', async () => {
      const { samples, put, readFrom } = await open();
      const chunks = seconds(100);
      await put(recordsOf(chunks));
      const read = await samples.raw(RIG, range(0, 100));
      expect(read).toMatchObject({ stream: STREAM, readFrom, gaps: [], summarised: [], note: null });
      expect(read!.chunk).toEqual(concatChunks(chunks));
      const part = await samples.raw(RIG, range(30, 40.999));
      expect(part!.chunk).toEqual(concatChunks(chunks.slice(30, 41)));
    });

    it('with the length of their averaging interval keep it', async () => {
      const { samples, put } = await open();
      const chunks = seconds(10).map(chunk => ({
        ...chunk,
        lengthUs: new Float64Array(chunk.n).fill(10_000),
      }));
      await put(recordsOf(chunks));
      expect((await samples.raw(RIG, range(0, 10)))!.chunk).toEqual(concatChunks(chunks));
    });

    it('give each bucket its least and greatest value, and no peak is lost at any zoom', async () => {
      const { samples, put } = await open();
      const chunks = seconds(200);
      chunks[77] = second(77, { peakAt: 42 });
      await put(recordsOf(chunks));
      const all = concatChunks(chunks);
      for (const points of [1, 3, 20, 40, 100, 700]) {
        const answer = await samples.overview(RIG, range(0, 200), { points });
        expect(answer.series.map(({ channel }) => channel)).toEqual([
          'weldingCurrent',
          'arcVoltage',
          'travelSpeed',
        ]);
        for (const { channel, tUs, min, max } of answer.series) {
          const values = all.columns[channel as Channel]!;
          tUs.forEach((fromUs, i) => {
            const untilUs = tUs[i + 1] ?? Number.POSITIVE_INFINITY;
            let least = Number.POSITIVE_INFINITY;
            let greatest = Number.NEGATIVE_INFINITY;
            all.tUs.forEach((at, j) => {
              if (at < fromUs || at >= untilUs || Number.isNaN(values[j]!)) return;
              least = Math.min(least, values[j]!);
              greatest = Math.max(greatest, values[j]!);
            });
            if (least !== min[i] || greatest !== max[i]) expect([min[i], max[i]]).toEqual([least, greatest]);
          });
          expect(tUs.length).toBeLessThanOrEqual(points);
        }
        expect(Math.max(...answer.series[0]!.max)).toBe(999.9);
        expect(answer.gaps).toEqual([]);
      }
    });

    it('tell where nothing was recorded, and do not call it a gap where nothing came yet', async () => {
      const { samples, put } = await open();
      await put(recordsOf([...seconds(10), ...Array.from({ length: 10 }, (_, i) => second(20 + i))]));
      const gap = { fromUs: START_US + 9.99e6, toUs: START_US + 20e6 };
      expect((await samples.raw(RIG, range(0, 60)))!.gaps).toEqual([gap]);
      expect((await samples.overview(RIG, range(0, 60), { points: 10 })).gaps).toEqual([gap]);
      expect(await samples.raw(RIG, range(100, 110))).toBeNull();
      expect((await samples.overview(RIG, range(100, 110), { points: 10 })).gaps).toEqual([]);
    });

    it('are those of the newest stream, or of the one that is named', async () => {
      const { samples, put } = await open();
      await put(recordsOf(seconds(20)));
      // A store that was set up anew, its clock put back: the same record time again.
      const other = Array.from({ length: 20 }, (_, i) => second(i + 3, { startUs: START_US - 3e6 }));
      await put(recordsOf(other, { stream: OTHER_STREAM }), START_MS + 60_000);
      expect(await samples.newest(RIG)).toMatchObject({ stream: OTHER_STREAM });
      expect((await samples.raw(RIG, range(0, 20)))!.chunk).toEqual(concatChunks(other));
      const first = await samples.raw(RIG, { ...range(0, 20), stream: STREAM });
      expect(first!.chunk).toEqual(concatChunks(seconds(20)));
    });

    it('are all there when the wall clock was put back over them, again and again', async () => {
      const { samples, put } = await open();
      const chunks = seconds(60);
      // Every ten seconds the clock is put back by as many: each wall time comes six times, to the microsecond.
      await put(recordsOf(chunks, { offset: i => -10_000 * Math.floor(i / 10) }));
      expect((await samples.raw(RIG, range(0, 60)))!.chunk).toEqual(concatChunks(chunks));
    });

    it('of a rig that never reported are none', async () => {
      const { samples } = await open();
      expect(await samples.newest(RIG)).toBeNull();
      expect(await samples.span(RIG, range(0, 1))).toBeNull();
      expect(await samples.raw(RIG, range(0, 1))).toBeNull();
      expect(await samples.overview(RIG, range(0, 1), { points: 5 })).toMatchObject({ series: [], gaps: [] });
    });
  });
}
