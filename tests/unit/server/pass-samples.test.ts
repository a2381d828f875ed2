/** What is said of each sample of a pass that is taken out, on chunks of an invented store. Rules: docs/exports.md, docs/engine.md. */
import { describe, expect, it } from 'vitest';
import type { PassMessage } from '#core/messages/pass';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { passSamples } from '../../../dashboard/server/export/pass-samples.ts';
import type { ChunkRow, SampleSpan } from '../../../dashboard/server/store/store.ts';
import { STREAM, testPass } from '../../support/test-records.ts';

const ZERO_US = 1_000_000_000;

/** 10 Hz from `fromS` for `seconds`, restless by a tenth unless said otherwise. */
function chunk(
  fromS: number,
  seconds: number,
  amps: (i: number) => number = i => 200 + (i % 2) / 10,
): SampleChunk {
  const n = seconds * 10;
  return {
    n,
    tUs: Float64Array.from({ length: n }, (_, i) => ZERO_US + fromS * 1e6 + i * 1e5),
    lengthUs: null,
    columns: {
      weldingCurrent: Float64Array.from({ length: n }, (_, i) => amps(i)),
      arcVoltage: new Float64Array(n).fill(24),
    },
  };
}

interface Kept {
  readonly chunk: SampleChunk;
  readonly reduced?: boolean;
}

function store(chunks: readonly Kept[], passes: readonly PassMessage[]) {
  const rows = chunks.map(
    ({ chunk: one, reduced }, id): ChunkRow => ({
      id,
      kind: 'batch',
      wall: [[one.tUs[0]!, 5000]],
      n: one.n,
      firstUs: one.tUs[0]!,
      lastUs: one.tUs[one.n - 1]!,
      periodUs: 1e5,
      gaps: [],
      utcMinusRecordMs: 5000,
      extremes: { weldingCurrent: [0, 300], arcVoltage: [20, 30] },
      reduced: reduced ? {} : null,
    }),
  );
  const span: SampleSpan = { stream: STREAM, utcMinusRecordMs: 5000, fromUs: 0, toUs: 0, chunks: rows };
  return {
    pass: (id: string) => passes.find(({ passId }) => passId === id) ?? null,
    sampleSpan: () => span,
    chunkSamples: ({ id }: { id: number }) => chunks[id]!.chunk,
  };
}

const pass = (index: number, fromS: number, toS: number): PassMessage =>
  testPass(index, { startUs: ZERO_US + fromS * 1e6, endUs: ZERO_US + toS * 1e6 });

function read(message: PassMessage, kept: readonly Kept[], passes: readonly PassMessage[] = []) {
  const found = passSamples(message, store(kept, passes));
  return found === null
    ? null
    : Array.from(found.samples(), ({ tUs, quality, inPass, utcMs }) => ({
        s: (tUs - ZERO_US) / 1e6,
        quality: quality.join(' '),
        inPass,
        utcMs,
      }));
}

describe('samples of a pass', () => {
  it('begin ten seconds before it and end ten seconds after it', () => {
    const rows = read(pass(1, 20, 30), [{ chunk: chunk(0, 60) }])!;
    expect([rows[0]?.s, rows.at(-1)?.s]).toEqual([10, 40]);
    expect(rows.every(({ inPass, quality }) => inPass && quality === '')).toBe(true);
    expect(rows[0]?.utcMs).toBe(ZERO_US / 1000 + 10_000 + 5000);
  });

  it('hold nothing of the pass before, and of the next the sample at which this one was cut', () => {
    const passes = [pass(1, 5, 17), pass(3, 30, 50)];
    const rows = read(pass(2, 20, 30), [{ chunk: chunk(0, 60) }], passes)!;
    expect([rows[0]?.s, rows.at(-1)?.s]).toEqual([17, 30]);
    expect(rows.filter(({ inPass }) => !inPass).map(({ s }) => s)).toEqual([30]);
  });

  it('say after which gap they come, over chunks as within one', () => {
    const rows = read(pass(1, 0, 20), [{ chunk: chunk(0, 5) }, { chunk: chunk(6, 5) }])!;
    expect(rows.filter(({ quality }) => quality === 'gap_before').map(({ s }) => s)).toEqual([6]);
  });

  it('are held from the first of a repeated reading to its last', () => {
    // 1.5 s of one reading from 2 s on; and another that the recording ends with.
    const amps = (i: number): number => (i >= 20 && i < 35 ? 210 : i >= 60 ? 220 : 200 + (i % 2) / 10);
    const rows = read(pass(1, 0, 8), [{ chunk: chunk(0, 8, amps) }])!;
    const held = rows.filter(({ quality }) => quality === 'held').map(({ s }) => s);
    expect(held).toEqual(
      Array.from({ length: 15 }, (_, i) => (20 + i) / 10).concat(
        Array.from({ length: 20 }, (_, i) => (60 + i) / 10),
      ),
    );
  });

  it('that are means of a second say that the others gave way', () => {
    const whole = chunk(0, 10);
    const rows = read(pass(1, 0, 10), [
      { chunk: sliceChunk(whole, 0, 50) },
      { chunk: sliceChunk(whole, 50, 100), reduced: true },
    ])!;
    expect(rows.filter(({ quality }) => quality === 'thinned')).toHaveLength(50);
    expect(rows.find(({ quality }) => quality === 'thinned')?.s).toBe(5);
  });

  it('without a current are not usable', () => {
    const rows = read(pass(1, 0, 5), [
      { chunk: chunk(0, 5, i => (i === 7 ? Number.NaN : 200 + (i % 2) / 10)) },
    ])!;
    expect(rows.filter(({ quality }) => quality === 'unusable').map(({ s }) => s)).toEqual([0.7]);
  });

  it('that were recorded before the clock was set are dated by what it said later', () => {
    const found = passSamples(pass(1, 0, 5), store([{ chunk: chunk(0, 5) }], []), tUs => tUs / 1000 + 99);
    expect(found?.samples().next().value?.utcMs).toBe(ZERO_US / 1000 + 99);
  });

  it('are none where none of the pass itself is stored', () => {
    expect(read(pass(1, 20, 30), [{ chunk: chunk(0, 15) }])).toBeNull();
    expect(read(pass(1, 20, 30), [])).toBeNull();
  });
});
