import { closeSync, fdatasyncSync, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { sliceChunk } from '#core/sample/chunk';
import { batchBodies } from '../../../edge/capture/batch-bodies.ts';
import { OutboxStore } from '../../../edge/outbox/outbox-store.ts';
import { atMost, type Benchmark } from '../harness/figure.ts';
import { ratioOf, showMedian } from '../harness/measure.ts';
import { RECORD_HEADER } from '../harness/record-header.ts';
import { weldSignal } from '../harness/weld-signal.ts';

const RATE_HZ = 100;
/** Enough that a round contains its share of checkpoints (one in 1000 pages). */
const CHUNKS = 250;
const AUTOCOMMIT_ROWS = 200;
const ROUNDS = 9;
/** On a slow disk fewer rounds must do. */
const ENOUGH_MS = 20_000;
const LEAST_ROUNDS = 3;

export const durableWrite: Benchmark = {
  id: 'G7',
  title: 'durable write',
  how: `${CHUNKS} chunks of 1 s at ${RATE_HZ} Hz a round, each hashed and committed by the edge's OutboxStore (WAL, synchronous=FULL, checkpoints included) in this machine's temporary folder, in turns with the baseline: the same bytes appended to a file, with fdatasync. The other line is a row for each sample, committed by itself with synchronous=FULL (${AUTOCOMMIT_ROWS} rows a round).`,
  run: async ({ scratch }) => {
    const signal = weldSignal(CHUNKS * RATE_HZ, RATE_HZ);
    const chunks = Array.from({ length: CHUNKS }, (_, i) =>
      sliceChunk(signal, i * RATE_HZ, (i + 1) * RATE_HZ),
    );
    const store = new OutboxStore({
      path: join(scratch, 'outbox.db'),
      requiredStores: ['truck'],
      monotonicMs: () => performance.now(),
      wallMs: () => Date.now(),
    });
    store.open();
    const file = openSync(join(scratch, 'plain.log'), 'a');
    const rows = new Database(join(scratch, 'rows.db'));
    rows.pragma('journal_mode = WAL');
    rows.pragma('synchronous = FULL');
    rows.exec('CREATE TABLE sample (t_us INTEGER, current REAL, voltage REAL, feed REAL, travel REAL)');
    const insert = rows.prepare('INSERT INTO sample VALUES (?, ?, ?, ?, ?)');
    const us = {
      outbox: [] as number[],
      append: [] as number[],
      rows: [] as number[],
      encode: [] as number[],
    };
    const started = performance.now();
    for (let round = -1; round < ROUNDS; round++) {
      if (round >= LEAST_ROUNDS && performance.now() - started > ENOUGH_MS) break;
      const spent = { outbox: 0, append: 0, rows: 0, encode: 0 };
      const timed = (what: keyof typeof spent, work: () => void): void => {
        const start = performance.now();
        work();
        spent[what] += (performance.now() - start) * 1000;
      };
      for (const [i, samples] of chunks.entries()) {
        let body = '';
        timed('encode', () => {
          body = batchBodies(RECORD_HEADER, { samples, events: [], passes: [] })[0]!.text;
        });
        const batch = { body, closedUs: i * 1e6, closedUtcMs: i * 1000, state: {} };
        const toStore = (): void => timed('outbox', () => store.append([batch]));
        const toFile = (): void => {
          timed('append', () => {
            writeSync(file, body);
            fdatasyncSync(file);
          });
        };
        // Whoever syncs second may find the disk's journal warm: they take turns.
        for (const write of i % 2 === 0 ? [toStore, toFile] : [toFile, toStore]) write();
      }
      timed('rows', () => {
        for (let i = 0; i < AUTOCOMMIT_ROWS; i++) insert.run(i, 236, 24, 171, 7.5);
      });
      if (round < 0) continue;
      us.outbox.push(spent.outbox / signal.n);
      us.append.push(spent.append / signal.n);
      us.encode.push(spent.encode / signal.n);
      us.rows.push(spent.rows / AUTOCOMMIT_ROWS);
    }
    store.close();
    closeSync(file);
    rows.close();
    const ratio = ratioOf(us.outbox, us.append);
    return [
      {
        id: 'G7',
        what: '1 s chunk, durable, against append and fdatasync',
        goal: '≤ 1.10×',
        ratio,
        subject: showMedian(us.outbox, 'µs/sample'),
        baseline: showMedian(us.append, 'µs/sample'),
        verdict: atMost(ratio, 1.1),
        note: `making the record from the samples, on another thread, costs ${showMedian(us.encode, 'µs/sample')} besides.`,
      },
      {
        id: 'G7',
        what: 'a row and a commit for each sample, against append and fdatasync',
        goal: 'none',
        ratio: ratioOf(us.rows, us.append),
        subject: showMedian(us.rows, 'µs/sample'),
        baseline: showMedian(us.append, 'µs/sample'),
        verdict: 'for information',
      },
    ];
  },
};
