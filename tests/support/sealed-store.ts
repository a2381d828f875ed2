/**
 * A store as a day leaves it, and a way to tamper with its file behind its back: twelve batches of one stream, two
 * passes with their seals and two checkpoints by an edge's key, three journal entries.
 */
import { generateKeyPairSync, type KeyObject, sign } from 'node:crypto';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import type { Entry, EntryBody } from '#core/journal/entry';
import type { VerifyReport } from '#core/messages/api-verify';
import type { PassMessage } from '#core/messages/pass';
import type { RecordMessage } from '#core/messages/record';
import { CHAIN_START, recordHashInput } from '#core/record/chain';
import { fromHex, toHex } from '#core/record/hex';
import { merkleRoot } from '#core/record/merkle-tree';
import { type Seal, type SignedSeal, sealText } from '#core/record/seal';
import { nodeSealCrypto } from '../../dashboard/server/ingest/node-seal-crypto.ts';
import { SealCheck } from '../../dashboard/server/ingest/seal-check.ts';
import { verifyRecord } from '../../dashboard/server/ingest/verify-record.ts';
import { publicKeysBeside } from '../../dashboard/server/seal/dashboard-key.ts';
import { fingerprintOf, rawPublicKey, sha256Hex } from '../../dashboard/server/seal/ed25519.ts';
import { SqliteStore } from '../../dashboard/server/store/sqlite-store.ts';
import { prepareOnce } from '../../dashboard/server/store/statements.ts';
import { VerifyReader } from '../../dashboard/server/verify/verify-reader.ts';
import { verifyReport } from '../../dashboard/server/verify/verify-report.ts';
import { verifyStore } from '../../dashboard/server/verify/verify-store.ts';
import { recordedEvents } from './recorded-events.ts';
import { tempDir } from './temp-dir.ts';
import {
  START_MS,
  STREAM,
  seal,
  testBody,
  testChunk,
  testDeviation,
  testEvent,
  testPass,
} from './test-records.ts';

const RIG = { site: 'spread-1', rig: 'rig-a' };
const AT = new Date(START_MS).toISOString();

export interface EdgeKey {
  readonly privateKey: KeyObject;
  readonly publicKey: string;
}

export function edgeKey(): EdgeKey {
  const { privateKey, publicKey } = generateKeyPairSync('ed25519');
  return { privateKey, publicKey: rawPublicKey(publicKey) };
}

/** Batches and seals of one stream as an edge makes them. */
export class SealedStream {
  readonly records: RecordMessage[] = [];
  private readonly key: EdgeKey;
  private number = 0;
  private prevSeal = CHAIN_START;

  constructor(key: EdgeKey) {
    this.key = key;
  }

  add(parts: { events?: number[]; passes?: PassMessage[]; seals?: SignedSeal[] } = {}): void {
    const seq = this.records.length + 1;
    const { events = [], passes = [], seals } = parts;
    const chunk = testChunk(START_MS * 1000 + (seq - 1) * 1e6, 20, 20);
    const body = testBody({ chunk, passes, events: events.map(n => testEvent(n)) });
    const text = JSON.stringify(seals ? { ...body, seals } : body);
    this.records.push(seal(text, seq, this.records.at(-1)?.hash ?? CHAIN_START));
  }

  /** A seal over batches `firstSeq` to the newest. */
  seal(
    firstSeq: number,
    what: { kind: 'key' } | { kind: 'checkpoint' } | { kind: 'pass'; pass: PassMessage },
  ): SignedSeal {
    const covered = this.records.slice(firstSeq - 1).map(({ hash }) => fromHex(hash)!);
    const document: Seal = {
      schema: 'girthlog.seal/1',
      origin: 'simulated',
      ...RIG,
      stream: STREAM,
      number: ++this.number,
      prev: this.prevSeal,
      firstSeq,
      lastSeq: this.records.length,
      root: toHex(merkleRoot(covered, nodeSealCrypto.sha256)),
      head: this.records.at(-1)?.hash ?? CHAIN_START,
      recordUs: START_MS * 1000,
      at: AT,
      clock: { state: 'synced', offsetMs: null },
      software: 'test',
      keyId: fingerprintOf(this.key.publicKey),
      ...(what.kind === 'pass'
        ? { ...what, gaps: [], gapsLeftOut: 0 }
        : what.kind === 'key'
          ? { ...what, publicKey: this.key.publicKey }
          : what),
    };
    const text = sealText(document);
    this.prevSeal = sha256Hex(text);
    const signature = sign(null, Buffer.from(text, 'utf8'), this.key.privateKey).toString('hex');
    return { seal: document, publicKey: this.key.publicKey, signature };
  }
}

/** The day's twelve batches. */
export function sealedDay(key: EdgeKey = edgeKey()): RecordMessage[] {
  const stream = new SealedStream(key);
  const first = testPass(1, { deviations: [testDeviation(61)] });
  const second = testPass(2, { side: 'B' });
  stream.add();
  stream.add({ seals: [stream.seal(1, { kind: 'key' })] });
  stream.add({ events: [1] });
  stream.add({ events: [2] });
  stream.add({ passes: [first] });
  stream.add({
    seals: [stream.seal(3, { kind: 'pass', pass: first }), stream.seal(1, { kind: 'checkpoint' })],
  });
  stream.add();
  stream.add();
  stream.add({ passes: [second] });
  stream.add({ seals: [stream.seal(7, { kind: 'pass', pass: second })] });
  stream.add();
  stream.add({ seals: [stream.seal(1, { kind: 'checkpoint' })] });
  return stream.records;
}

export const DAY_ENTRIES: readonly EntryBody[] = [
  { kind: 'jointOpened', joint: 'J-0001', station: '14+220' },
  { kind: 'consumables', joint: 'J-0001', wireLot: 'W-1' },
  { kind: 'disposition', joint: 'J-0001', decision: 'repair' },
];

export interface SealedStore {
  readonly directory: string;
  /** Changes the file with everything that protects it switched off. */
  readonly tamper: (sql: string, ...values: unknown[]) => void;
  readonly withFile: <T>(work: (db: Sqlite.Database) => T) => T;
  /** The whole store as `verify` looks at it. */
  readonly verify: () => VerifyReport;
}

export async function sealedStore(records: readonly RecordMessage[] = sealedDay()): Promise<SealedStore> {
  const directory = join(tempDir(), 'data');
  const now = () => new Date(START_MS);
  const store = new SqliteStore({ directory, sqlite: Sqlite, report: recordedEvents().report, now });
  store.open();
  const verified = records.map(message => {
    const result = verifyRecord(RIG, message);
    if (!result.ok) throw new Error(result.event);
    return result.record;
  });
  store.commitRecords(verified, AT);
  await checkSeals(store, now);
  store.addPerson({ id: 'p-1', name: 'A. Example', roles: ['inspector'] }, AT);
  DAY_ENTRIES.forEach((body, n) => {
    const entry: Omit<Entry, 'number'> = {
      ...{
        id: `e-${n + 1}`,
        at: new Date(START_MS + n * 60_000).toISOString(),
        origin: 'simulated',
        author: 'p-1',
      },
      ...{ shiftDate: '2026-05-12', reason: 'as found', corrects: null, body },
    };
    store.journal.add(entry);
  });
  store.close();
  const file = join(directory, 'dashboard.sqlite3');
  const withFile = <T>(work: (db: Sqlite.Database) => T): T => {
    const db = new Sqlite(file);
    try {
      db.pragma('foreign_keys = OFF');
      const triggers = db.prepare("SELECT name FROM sqlite_schema WHERE type = 'trigger'").pluck().all();
      for (const name of triggers as string[]) db.exec(`DROP TRIGGER ${name}`);
      return work(db);
    } finally {
      db.close();
    }
  };
  return {
    directory,
    withFile,
    tamper: (sql, ...values) => withFile(db => void db.prepare(sql).run(...values)),
    verify: () => {
      const db = new Sqlite(file, { readonly: true });
      try {
        const trust = new Set(publicKeysBeside(directory).map(fingerprintOf));
        const steps = verifyStore(new VerifyReader(prepareOnce(db)), trust);
        for (;;) {
          const { done, value } = steps.next();
          if (done) return verifyReport(value, { at: AT, software: 'test', scope: 'store', joint: null });
        }
      } finally {
        db.close();
      }
    },
  };
}

async function checkSeals(store: SqliteStore, now: () => Date): Promise<void> {
  const onStoreError = (error: Error): void => {
    throw error;
  };
  const check = new SealCheck({ store, report: recordedEvents().report, now, set: () => {}, onStoreError });
  check.start();
  await check.settled();
  await check.stop();
}

/** What someone can do who knows the format and has no key: every batch from `fromSeq` on hashed and chained anew. */
export function chainAnew(db: Sqlite.Database, fromSeq: number): void {
  const rows = db.prepare('SELECT id, seq, body FROM records WHERE seq >= ? ORDER BY seq').all(fromSeq) as {
    id: number;
    seq: number;
    body: string;
  }[];
  let prev =
    (db
      .prepare('SELECT hash FROM records WHERE seq = ?')
      .pluck()
      .get(fromSeq - 1) as string) ?? CHAIN_START;
  for (const { id, seq, body } of rows) {
    const hash = sha256Hex(recordHashInput({ prev, stream: STREAM, seq, body }));
    db.prepare('UPDATE records SET prev = ?, hash_bytes = unhex(?) WHERE id = ?').run(prev, hash, id);
    prev = hash;
  }
  db.prepare('UPDATE streams SET head = ?, upto = ?').run(prev, rows.at(-1)!.seq);
}
