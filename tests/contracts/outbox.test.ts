import { chmodSync, existsSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { CHAIN_START } from '#core/record/chain';
import { STORE_VERSION } from '../../edge/outbox/outbox-database.ts';
import { OutboxStore } from '../../edge/outbox/outbox-store.ts';
import { type PendingBatch, StoreError } from '../../edge/outbox/outbox-types.ts';
import { tempDir } from '../support/temp-dir.ts';
import { verifyChain } from '../support/verify-chain.ts';

let path = '';
let ms = 0;
beforeEach(() => {
  ms = 0;
  path = join(tempDir(), 'edge.db');
});

function batch(text: string, closedUs = 1_000_000): PendingBatch {
  return { body: JSON.stringify({ text }), closedUs, closedUtcMs: closedUs / 1000, state: {} };
}

function makeStore(requiredStores: readonly string[] = ['truck']): OutboxStore {
  const store = new OutboxStore({
    path,
    requiredStores,
    monotonicMs: () => ms,
    wallMs: () => 1_750_000_000_000,
  });
  onTestFinished(() => store.close());
  return store;
}

function edit(sql: string, ...values: unknown[]): void {
  const db = new Database(path);
  db.prepare(sql).run(...values);
  db.close();
}

describe('a new store', () => {
  it('begins a stream of its own, at no batch', () => {
    const opened = makeStore().open();
    expect(opened.stream).toMatch(/^[0-9a-f]{32}$/);
    expect(opened).toMatchObject({
      committedSeq: 0,
      head: CHAIN_START,
      lastRecordUs: null,
      cursors: { truck: { upto: 0, head: CHAIN_START } },
      quarantine: null,
    });
  });

  it('is readable and writable for this user alone, its companions too', () => {
    const store = makeStore();
    store.open();
    store.append([batch('a')]);
    for (const file of [path, `${path}-wal`, `${path}-shm`]) expect(statSync(file).mode & 0o777).toBe(0o600);
  });

  it('runs with WAL and a full sync at every commit', () => {
    const store = makeStore();
    store.open();
    const db = (store as unknown as { db: Database.Database }).db;
    expect(db.pragma('journal_mode', { simple: true })).toBe('wal');
    // SQLite documentation, PRAGMA synchronous: 2 is FULL.
    expect(db.pragma('synchronous', { simple: true })).toBe(2);
    expect(db.pragma('trusted_schema', { simple: true })).toBe(0);
    expect(db.pragma('journal_size_limit', { simple: true })).toBe(4 * 1024 * 1024);
  });
});

describe('appending', () => {
  it('numbers batches from 1 without a hole and chains their hashes', () => {
    const store = makeStore();
    const { stream } = store.open();
    expect(store.append([batch('a'), batch('b')])).toMatchObject({ firstSeq: 1, lastSeq: 2 });
    expect(store.append([batch('c')])).toMatchObject({ firstSeq: 3, lastSeq: 3 });
    const rows = store.read(1, 10, 1e6);
    expect(rows.map(row => row.body)).toEqual(['a', 'b', 'c'].map(text => JSON.stringify({ text })));
    expect(verifyChain(stream, rows)).toBeNull();
  });

  it('goes on where it was after reopening', () => {
    const store = makeStore();
    const { stream } = store.open();
    store.append([{ ...batch('a', 5_000_000), state: { assignment: 'x', gone: 'y' } }]);
    store.saveState({ gone: null });
    store.close();
    const again = makeStore();
    expect(again.open()).toMatchObject({
      stream,
      committedSeq: 1,
      lastRecordUs: 5_000_000,
      lastUtcMs: 5000,
      state: { assignment: 'x' },
    });
    again.append([batch('b')]);
    expect(verifyChain(stream, again.read(1, 10, 1e6))).toBeNull();
  });

  it('commits all of a call or nothing', () => {
    const store = makeStore();
    store.open();
    store.append([batch('a')]);
    const broken = { ...batch('c'), body: null as unknown as string };
    expect(() => store.append([batch('b'), broken])).toThrow();
    expect(store.append([batch('d')])).toMatchObject({ firstSeq: 2, lastSeq: 2 });
    expect(store.read(1, 10, 1e6).map(row => row.seq)).toEqual([1, 2]);
  });

  it('reads pages no larger than asked, but always one batch', () => {
    const store = makeStore();
    store.open();
    store.append([batch('x'.repeat(1000)), batch('y'.repeat(1000)), batch('z'.repeat(1000))]);
    expect(store.read(1, 10, 1)).toHaveLength(1);
    expect(store.read(1, 10, 2100)).toHaveLength(2);
    expect(store.read(2, 1, 1e6).map(row => row.seq)).toEqual([2]);
    expect(store.read(4, 10, 1e6)).toEqual([]);
  });
});

describe('acknowledgements', () => {
  function filled(): { store: OutboxStore; stream: string; hashOf: (seq: number) => string } {
    const store = makeStore(['truck', 'office']);
    const { stream } = store.open();
    store.append(['a', 'b', 'c', 'd'].map(text => batch(text)));
    const hashes = store.read(1, 10, 1e6).map(row => row.hash);
    return { store, stream, hashOf: seq => hashes[seq - 1] ?? CHAIN_START };
  }

  it('move the cursor of the store that speaks, and no other', () => {
    const { store, stream, hashOf } = filled();
    expect(store.acknowledge({ store: 'truck', stream, upto: 3, head: hashOf(3) })).toBe('accepted');
    store.close();
    expect(makeStore(['truck', 'office']).open().cursors).toMatchObject({
      truck: { upto: 3 },
      office: { upto: 0 },
    });
  });

  it('delete nothing', () => {
    const { store, stream, hashOf } = filled();
    store.acknowledge({ store: 'truck', stream, upto: 4, head: hashOf(4) });
    store.acknowledge({ store: 'office', stream, upto: 4, head: hashOf(4) });
    expect(store.read(1, 10, 1e6)).toHaveLength(4);
  });

  it.each([
    ['unlisted', { store: 'stranger' }],
    ['wrongStream', { stream: 'f'.repeat(32) }],
    ['future', { upto: 5 }],
    ['wrongHead', { head: 'e'.repeat(64) }],
    ['stale', { upto: 1, head: 'e'.repeat(64) }],
    ['repeated', { upto: 2 }],
  ] as const)('%s: the cursor stays', (verdict, change) => {
    const { store, stream, hashOf } = filled();
    store.acknowledge({ store: 'truck', stream, upto: 2, head: hashOf(2) });
    const upto = 'upto' in change ? change.upto : 3;
    const claim = { store: 'truck', stream, upto, head: hashOf(upto), ...change };
    expect(store.acknowledge(claim)).toBe(verdict);
    store.close();
    expect(makeStore(['truck', 'office']).open().cursors['truck']?.upto).toBe(2);
  });

  it('that reach less far and name the right hash move the cursor back: that store has lost something', () => {
    const { store, stream, hashOf } = filled();
    const claim = (upto: number) => store.acknowledge({ store: 'truck', stream, upto, head: hashOf(upto) });
    expect([claim(4), claim(1), claim(4)]).toEqual(['accepted', 'rewound', 'accepted']);
    // No second time within 10 s, however often it is asked for; the other store is not held up by it.
    ms = 9_999;
    expect(claim(0)).toBe('stale');
    ms = 10_000;
    expect(claim(0)).toBe('rewound');
    store.close();
    expect(makeStore(['truck', 'office']).open().cursors['truck']).toEqual({ upto: 0, head: CHAIN_START });
  });

  it('accept a claim that came before this start, if its hash is right', () => {
    const { store, stream, hashOf } = filled();
    store.close();
    const again = makeStore(['truck']);
    again.open();
    expect(again.acknowledge({ store: 'truck', stream, upto: 4, head: hashOf(4) })).toBe('accepted');
  });
});

describe('damage', () => {
  function fill(): string {
    const store = makeStore();
    const { stream } = store.open();
    store.append(['a', 'b', 'c'].map(text => batch(text)));
    store.close();
    return stream;
  }

  it.each([
    ['an edited body', "UPDATE batch SET body = '{}' WHERE seq = 2"],
    ['a missing batch', 'DELETE FROM batch WHERE seq = 2'],
    ['the newest batch gone, as a torn log would take it', 'DELETE FROM batch WHERE seq = 3'],
    [
      'another newest batch than was committed',
      "UPDATE batch SET hash = iif(hash LIKE 'f%', 'e', 'f') || substr(hash, 2) WHERE seq = 3",
    ],
    ['a changed hash', 'UPDATE batch SET hash = prev WHERE seq = 3'],
    ['a batch of another stream', "UPDATE batch SET stream = 'other' WHERE seq = 1"],
    ['a cursor beyond the newest batch', "INSERT INTO cursor VALUES ('truck', 9, 'x')"],
    ['a cursor with a foreign hash', "INSERT INTO cursor VALUES ('truck', 2, 'x')"],
    ['tables that are not ours', 'DROP TABLE batch'],
    ['no stream id', 'DELETE FROM meta'],
  ])('%s: moved aside whole, a new stream begins, nothing is asked of anyone', (_what, sql) => {
    const stream = fill();
    edit(sql);
    const store = makeStore();
    const opened = store.open();
    expect(opened.quarantine?.reason).not.toBe('');
    expect(existsSync(opened.quarantine?.movedTo ?? '')).toBe(true);
    expect(opened.stream).not.toBe(stream);
    expect(opened.committedSeq).toBe(0);
    expect(store.append([batch('x')])).toMatchObject({ lastSeq: 1 });
  });

  it.each([
    ['a file that is no database', Buffer.from('this is no database, whatever its name says. '.repeat(100))],
    ['a header and then rubbish', Buffer.concat([Buffer.from('SQLite format 3\0'), Buffer.alloc(3000, 1)])],
  ])('%s: moved aside', (_what, content) => {
    fill();
    writeFileSync(path, content);
    expect(makeStore().open().quarantine).not.toBeNull();
    expect(readdirSync(join(path, '..')).some(name => name.includes('quarantine'))).toBe(true);
  });

  it('of a batch long acknowledged is seen when it is read back', () => {
    const store = makeStore();
    store.open();
    store.append([batch('a')]);
    edit("UPDATE batch SET body = '{}' WHERE seq = 1");
    expect(() => store.read(1, 10, 1e6)).toThrow(/batch 1 does not match its hash/);
  });
});

describe('a store that cannot be used here', () => {
  it('is refused while another edge holds it', () => {
    makeStore().open();
    const second = makeStore();
    expect(() => second.open()).toThrow(/in use by another girthlog-edge/);
  });

  it('is free again after a close', () => {
    const first = makeStore();
    const { stream } = first.open();
    first.close();
    expect(makeStore().open().stream).toBe(stream);
  });

  it('of a newer layout is refused and left alone', () => {
    const first = makeStore();
    const { stream } = first.open();
    first.close();
    edit(`PRAGMA user_version = ${STORE_VERSION + 1}`);
    expect(() => makeStore().open()).toThrow(/written by a newer girthlog-edge/);
    edit(`PRAGMA user_version = ${STORE_VERSION}`);
    expect(makeStore().open()).toMatchObject({ stream, quarantine: null });
  });

  it('of an older layout is brought to this one and goes on', () => {
    const first = makeStore();
    const { stream } = first.open();
    first.append([batch('a')]);
    first.close();
    // Layout 1, as docs/edge.md described it before batches could be reduced.
    edit('ALTER TABLE batch DROP COLUMN reduced_to');
    edit('ALTER TABLE batch DROP COLUMN body_hash');
    edit('PRAGMA user_version = 1');
    const store = makeStore();
    expect(store.open()).toMatchObject({ stream, committedSeq: 1, quarantine: null });
    store.append([batch('b')]);
    expect(verifyChain(stream, store.read(1, 10, 1e6))).toBeNull();
  });

  it('where its folder cannot be made says so in one sentence', () => {
    writeFileSync(join(path, '..', 'file'), '');
    path = join(path, '..', 'file', 'edge.db');
    expect(() => makeStore().open()).toThrow(StoreError);
    expect(() => makeStore().open()).toThrow(/cannot be written: a folder and a file/);
  });

  it('whose file others could read is closed to them', () => {
    const first = makeStore();
    first.open();
    first.close();
    chmodSync(path, 0o644);
    expect(makeStore().open().modeFixed).toBe(true);
    expect(statSync(path).mode & 0o777).toBe(0o600);
  });
});
