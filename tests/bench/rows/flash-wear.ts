import { join } from 'node:path';
import Database from 'better-sqlite3';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { batchBodies } from '../../../edge/capture/batch-bodies.ts';
import { OutboxStore } from '../../../edge/outbox/outbox-store.ts';
import { atMost, type Benchmark, notMeasured } from '../harness/figure.ts';
import { ratioOf, showMedian, takeTurns } from '../harness/measure.ts';
import { diskBytesWritten, hasProc, NO_PROC } from '../harness/process-costs.ts';
import { RECORD_HEADER } from '../harness/record-header.ts';
import { weldSignal } from '../harness/weld-signal.ts';

const RATE_HZ = 100;
const CHUNKS = 600;
const ROWS = 3000;
const ROUNDS = 3;
const WHAT = 'bytes to the disk for a sample, against a row and a commit for each';
const GOAL = 1 / 90;

/** Bytes that reach the disk for each sample, the last checkpoint included. */
function outboxBytes(path: string, chunks: readonly SampleChunk[]): number {
  const store = new OutboxStore({
    path,
    requiredStores: ['truck'],
    monotonicMs: () => performance.now(),
    wallMs: () => Date.now(),
  });
  store.open();
  const from = diskBytesWritten();
  let head = '';
  for (const [second, samples] of chunks.entries()) {
    const [body] = batchBodies(RECORD_HEADER, { samples, events: [], passes: [] });
    const batch = { body: body!.text, closedUs: second * 1e6, closedUtcMs: second * 1000, state: {} };
    head = store.append([batch]).head;
  }
  store.close();
  const bytes = diskBytesWritten() - from;
  // Opening goes through the chain of all of them: nothing is missing when it ends in the same hash.
  const opened = store.open();
  store.close();
  if (opened.committedSeq !== chunks.length || opened.head !== head) {
    throw new Error(`${opened.committedSeq} of ${chunks.length} chunks are stored`);
  }
  return bytes / chunks.reduce((sum, { n }) => sum + n, 0);
}

function rowBytes(path: string): number {
  const db = new Database(path);
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.exec('CREATE TABLE sample (t_us INTEGER, current REAL, voltage REAL, feed REAL, travel REAL)');
  const insert = db.prepare('INSERT INTO sample VALUES (?, ?, ?, ?, ?)');
  const from = diskBytesWritten();
  for (let i = 0; i < ROWS; i++) insert.run(i * 10_000, 236 + (i % 7), 24, 171, 7.5);
  const kept = db.prepare('SELECT count(*) FROM sample').pluck().get();
  db.close();
  if (kept !== ROWS) throw new Error(`${kept} of ${ROWS} rows are stored`);
  return (diskBytesWritten() - from) / ROWS;
}

export const flashWear: Benchmark = {
  id: 'G8',
  title: 'flash wear',
  how: `What the kernel counts as sent to the storage layer (write_bytes of /proc/self/io: whole pages of 4 KiB, the file system's own journal not included) for ${CHUNKS} chunks of 1 s at ${RATE_HZ} Hz through the edge's OutboxStore, at most 1 s lost in a power cut, last checkpoint included; divided by the samples. Baseline: a row for each sample, committed by itself with synchronous=FULL (${ROWS} rows). Both are counted afterwards.`,
  run: async ({ scratch }) => {
    if (!hasProc) return [notMeasured('G8', WHAT, '≤ 1/90', NO_PROC)];
    const signal = weldSignal(CHUNKS * RATE_HZ, RATE_HZ);
    const chunks = Array.from({ length: CHUNKS }, (_, i) =>
      sliceChunk(signal, i * RATE_HZ, (i + 1) * RATE_HZ),
    );
    let files = 0;
    const bytes = await takeTurns(
      { rounds: ROUNDS, warmUps: 0 },
      {
        outbox: () => outboxBytes(join(scratch, `wear-${files++}.db`), chunks),
        rows: () => rowBytes(join(scratch, `wear-rows-${files++}.db`)),
      },
    );
    const ratio = ratioOf(bytes.outbox, bytes.rows);
    return [
      {
        id: 'G8',
        what: WHAT,
        goal: '≤ 1/90',
        ratio,
        subject: showMedian(bytes.outbox, 'B/sample'),
        baseline: showMedian(bytes.rows, 'B/sample'),
        verdict: atMost(ratio, GOAL),
        note: `1/${(1 / ratio.median).toFixed(0)}.`,
      },
    ];
  },
};
