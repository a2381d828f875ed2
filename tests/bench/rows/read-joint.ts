import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import type { SampleStore } from '../../../dashboard/server/store/sample-store.ts';
import { StoredSamples } from '../../../dashboard/server/store/stored-samples.ts';
import { atLeast, atMost, type BenchContext, type Benchmark } from '../harness/figure.ts';
import { ratioOf, showMedian, takeTurns } from '../harness/measure.ts';
import { openSettled, SETTLED_RATE_HZ, SETTLED_RIG, settledStore } from '../harness/settled-store.ts';

const SAMPLES = 240_000;
const FROM = 400_000;
const COLUMNS = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'] as const;

const sumOf = (column: Float64Array): number => column.reduce((a, b) => a + b, 0);

async function fromChunks(samples: SampleStore, { n, tUs }: SampleChunk): Promise<Float64Array[]> {
  const read = await samples.raw(SETTLED_RIG, { kind: 'record', fromUs: tUs[0]!, toUs: tUs[n - 1]! });
  if (!read) throw new Error('no sample of the joint is stored');
  return [read.chunk.tUs, ...COLUMNS.map(name => read.chunk.columns[name]!)];
}

function fromRows(rows: Database.Statement<[], number[]>, n: number): Float64Array[] {
  const columns = Array.from({ length: 1 + COLUMNS.length }, () => new Float64Array(n));
  let i = 0;
  for (const row of rows.iterate()) {
    for (let c = 0; c < columns.length; c++) columns[c]![i] = row[c]!;
    i++;
  }
  return columns;
}

function fromFile(file: string, n: number): Float64Array[] {
  const bytes = readFileSync(file);
  return Array.from({ length: 1 + COLUMNS.length }, (_, c) => {
    const from = bytes.byteOffset + c * n * 8;
    return new Float64Array(bytes.buffer.slice(from, from + n * 8));
  });
}

export const readJoint: Benchmark = {
  id: 'G9',
  title: 'read a joint',
  how: `${SAMPLES} samples of four channels at ${SETTLED_RATE_HZ} Hz out of a dashboard's store of 2,000,000, settled, into typed arrays: the range looked up, its stretches read and decoded, cut to the joint. Baselines: a table with a row for each of these samples, iterated into the same arrays; and a file of the same columns as raw 8-byte numbers, read whole. Every column must have the sum that went in. Against InfluxDB: row G6 (--full).`,
  run: async (context: BenchContext) => {
    const settled = settledStore(context);
    const part = sliceChunk(settled.signal, FROM, FROM + SAMPLES);
    const columns = [part.tUs, ...COLUMNS.map(name => part.columns[name]!)];
    const sums = columns.map(sumOf);
    const file = join(context.scratch, 'raw-columns.bin');
    writeFileSync(
      file,
      Buffer.concat(
        columns.map(({ buffer, byteOffset, byteLength }) => Buffer.from(buffer, byteOffset, byteLength)),
      ),
    );
    const db = new Database(join(context.scratch, 'joint-rows.db'));
    db.exec('CREATE TABLE sample (t REAL PRIMARY KEY, current REAL, voltage REAL, feed REAL, travel REAL)');
    const insert = db.prepare('INSERT INTO sample VALUES (?, ?, ?, ?, ?)');
    db.transaction(() => {
      for (let i = 0; i < part.n; i++) insert.run(...columns.map(column => column[i]));
    })();
    const rows = db.prepare<[], number[]>('SELECT * FROM sample ORDER BY t').raw() as Database.Statement<
      [],
      number[]
    >;
    const store = openSettled(settled);
    const samples = new StoredSamples(store);
    const timed = async (read: () => Float64Array[] | Promise<Float64Array[]>): Promise<number> => {
      const start = performance.now();
      const found = await read();
      const ms = performance.now() - start;
      const isSame = found.every((column, c) => column.length === part.n && sumOf(column) === sums[c]);
      if (!isSame) throw new Error('other samples were read than were written');
      return ms;
    };
    try {
      const ms = await takeTurns(
        { rounds: 9, warmUps: 10 },
        {
          chunks: () => timed(() => fromChunks(samples, part)),
          rows: () => timed(() => fromRows(rows, part.n)),
          file: () => timed(() => fromFile(file, part.n)),
        },
      );
      const faster = ratioOf(ms.rows, ms.chunks);
      const slower = ratioOf(ms.chunks, ms.file);
      const subject = showMedian(ms.chunks, 'ms');
      return [
        {
          id: 'G9',
          what: `${SAMPLES} samples into arrays, against a row each`,
          goal: '≥ 25× faster',
          ratio: faster,
          subject,
          baseline: showMedian(ms.rows, 'ms'),
          verdict: atLeast(faster, 25),
        },
        {
          id: 'G9',
          what: `${SAMPLES} samples into arrays, against a raw file`,
          goal: '≤ 12×',
          ratio: slower,
          subject,
          baseline: showMedian(ms.file, 'ms'),
          verdict: atMost(slower, 12),
        },
      ];
    } finally {
      store.close();
      db.close();
    }
  },
};
