/** Hours of one rig in a dashboard's store, settled; filled once a run, for every row that reads it. */
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { verifyRecord } from '../../../dashboard/server/ingest/verify-record.ts';
import { SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import type { BenchContext } from './figure.ts';
import { openStore } from './long-joint.ts';
import { noisySignal } from './noisy-signal.ts';
import { RecordChain } from './record-chain.ts';
import { RECORD_HEADER } from './record-header.ts';

export const SETTLED_RATE_HZ = 100;
/** Five and a half hours. */
export const SETTLED_SAMPLES = 2_000_000;
const RIG = 'rig-settled';
export const SETTLED_RIG = { site: RECORD_HEADER.site, rig: RIG };
const START_US = Date.UTC(2026, 4, 12, 6) * 1000;
/** Longer batches than an edge's: settled they are the same, and filling the store takes a fifth of the time. */
const PER_RECORD = 500;
const PER_COMMIT = 50;
const PART = 90_000;

export interface SettledStore {
  readonly directory: string;
  readonly signal: SampleChunk;
  /** Of the pages in use; those that settling has freed are filled by what comes next. */
  readonly bytes: number;
}

let kept: SettledStore | null = null;

export function settledStore({ scratch }: BenchContext): SettledStore {
  kept ??= fillSettled(join(scratch, 'settled'), SETTLED_SAMPLES, PER_RECORD);
  return kept;
}

/** For reading. The caller closes it. */
export function openSettled({ directory }: SettledStore): SqliteStore {
  const store = new SqliteStore({
    ...{ directory, sqlite: Sqlite, report: () => {}, now: () => new Date() },
    readOnly: true,
  });
  store.open();
  return store;
}

/** Everything that is due when `store` has been left alone for a day. */
export function settleAll(store: SqliteStore): void {
  const tomorrow = Date.now() + 86_400_000;
  while (store.settling.step(tomorrow));
}

/** The same quarter of an hour of noise again and again: to make hours of it anew would take longer than storing them. */
function hoursOf(n: number): SampleChunk {
  const part = noisySignal(Math.min(n, PART), SETTLED_RATE_HZ);
  const columns = Object.fromEntries(
    Object.entries(part.columns).map(([name, column]) => {
      return [name, Float64Array.from({ length: n }, (_, i) => column[i % part.n]!)];
    }),
  );
  const tUs = Float64Array.from({ length: n }, (_, i) => START_US + (i * 1e6) / SETTLED_RATE_HZ);
  return { n, tUs, lengthUs: null, columns };
}

export function fillSettled(directory: string, samples: number, perRecord: number): SettledStore {
  const signal = hoursOf(samples);
  const store = openStore(directory);
  store.ensureRig(SETTLED_RIG, new Date().toISOString(), 16);
  store.setRigOrigin(SETTLED_RIG, RECORD_HEADER.origin);
  const chain = new RecordChain(RIG);
  const at = new Date().toISOString();
  for (let from = 0; from < signal.n; from += PER_COMMIT * perRecord) {
    const to = Math.min(signal.n, from + PER_COMMIT * perRecord);
    const records = [];
    for (let first = from; first < to; first += perRecord) {
      const message = chain.next(sliceChunk(signal, first, first + perRecord));
      const read = verifyRecord(SETTLED_RIG, message);
      if (!read.ok) throw new Error(`a record made here is refused: ${read.event}`);
      records.push(read.record);
    }
    store.commitRecords(records, at);
  }
  settleAll(store);
  store.close();
  return { directory, signal, bytes: bytesInUse(join(directory, 'dashboard.sqlite3')) };
}

function bytesInUse(file: string): number {
  const db = new Sqlite(file, { readonly: true });
  const pragma = (name: string): number => db.pragma(name, { simple: true }) as number;
  const bytes = (pragma('page_count') - pragma('freelist_count')) * pragma('page_size');
  db.close();
  return bytes;
}
