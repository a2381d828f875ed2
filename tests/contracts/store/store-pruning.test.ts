/** Old samples give way at the truck: what goes, what stays, and that chain and shown samples still fit. */
import { createHash } from 'node:crypto';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { readSamples } from '../../../dashboard/server/api/sample-reader.ts';
import { requireCovered } from '../../../dashboard/server/backup/backup-covers.ts';
import { writeBackup } from '../../../dashboard/server/backup/write-backup.ts';
import { openForPruning } from '../../../dashboard/server/store/open-for-pruning.ts';
import type { PruneWish } from '../../../dashboard/server/store/pruning.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { sealedStore } from '../../support/sealed-store.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS, STREAM, sha256, testEvent, testPass } from '../../support/test-records.ts';
import { openStore } from '../../support/test-store.ts';
import { AT, chain, RIG } from './store-support.ts';

const RECORDS = 20;
/** One record a second: the first ten are older. */
const BEFORE = START_MS + 10_000;

async function filled() {
  const directory = tempDir();
  const store = openStore(directory);
  const records = chain(RECORDS, { events: [testEvent(1)], passes: [testPass(1)] });
  store.commitRecords(records, AT);
  const opened = await openForPruning(join(directory, 'dashboard.sqlite3'));
  onTestFinished(() => void opened.db.close());
  /** As if the checked seals of the stream reached to this record. */
  const sealTo = (seq: number): void => {
    opened.db.prepare('INSERT INTO seal_progress (stream_id, head_seq) VALUES (1, ?)').run(seq);
  };
  const prune = (wish: PruneWish) => {
    let done = { records: 0, bytes: 0 };
    for (const stream of opened.pruning.plan(wish)) for (done of opened.pruning.prune(stream, wish));
    return done;
  };
  return { directory, store, records, ...opened, sealTo, prune };
}

const WISH: PruneWish = { beforeMs: BEFORE, keep: 'none', unsealed: false };

function rowsOf(db: Sqlite.Database) {
  return db
    .prepare('SELECT seq, prev, hash, body, reduced_to, body_hash FROM records ORDER BY seq')
    .all() as {
    seq: number;
    prev: string;
    hash: string;
    body: string;
    reduced_to: string | null;
    body_hash: string | null;
  }[];
}

describe('letting old samples go', () => {
  it('takes what is old, acknowledged and sealed, and says what it would take without taking it', async () => {
    const { pruning, sealTo, db } = await filled();
    expect(pruning.plan(WISH)).toMatchObject([{ records: 0, notSealed: 10 }]);
    expect(pruning.plan({ ...WISH, unsealed: true })).toMatchObject([
      { records: 10, notSealed: 0, lastSeq: 10 },
    ]);
    sealTo(6);
    const [plan] = pruning.plan(WISH);
    expect(plan).toMatchObject({ records: 6, notSealed: 4, lastSeq: 6 });
    expect(plan!.bytes).toBeGreaterThan(1000);
    expect(pruning.plan({ ...WISH, beforeMs: START_MS - 1 })).toEqual([]);
    expect(rowsOf(db).every(({ reduced_to }) => reduced_to === null)).toBe(true);
  });

  it('keeps number, hash, predecessor, events and passes; each text has a hash tied to the first', async () => {
    const { db, prune, sealTo, store, records } = await filled();
    sealTo(RECORDS);
    const before = rowsOf(db);
    const events = store.events({ limit: 200 });
    expect(prune(WISH)).toMatchObject({ records: 10 });
    const after = rowsOf(db);
    after.forEach((row, i) => {
      const { seq, prev, hash } = before[i]!;
      expect(row).toMatchObject({ seq, prev, hash });
      if (i >= 10) expect(row).toEqual(before[i]);
      else {
        expect(row.reduced_to).toBe('pruned');
        // docs/edge.md: SHA-256 over girthlog.reduced/1, the hash of the whole and what is left, by line feeds.
        expect(row.body_hash).toBe(sha256(`girthlog.reduced/1\n${hash}\n${row.body}`));
        expect(JSON.parse(row.body)).toMatchObject({ samples: null, events: [{}], passes: [{}] });
      }
    });
    expect(db.prepare('SELECT seq FROM chunks ORDER BY seq').pluck().all()).toEqual(
      Array.from({ length: 10 }, (_, i) => i + 11),
    );
    expect(store.events({ limit: 200 })).toEqual(events);
    expect(store.pass(`${STREAM}:1`)).not.toBeNull();
    // The edge may send them again: they are known.
    expect(new Set(store.commitRecords(records, AT).outcomes)).toEqual(new Set(['duplicate']));
    store.close();
    const { counts, report } = recordedEvents();
    openStore((db.name as string).replace('/dashboard.sqlite3', ''), { counts, report });
    expect(counts).not.toHaveProperty('storeQuarantined');
  });

  it('to a second, least and greatest are still shown, and doing it twice changes nothing', async () => {
    const { db, prune, sealTo, store } = await filled();
    sealTo(RECORDS);
    const range = { kind: 'record', fromUs: START_MS * 1000, toUs: START_MS * 1000 + 10e6 } as const;
    const shown = () => {
      const { series } = readSamples(store, RIG, range, { points: 10 });
      return series.map(({ channel, min, max }) => ({
        channel,
        min: Math.min(...min),
        max: Math.max(...max),
      }));
    };
    const before = shown();
    const done = prune({ ...WISH, keep: 'seconds' });
    expect(done.records).toBe(10);
    expect(done.bytes).toBeGreaterThan(0);
    expect(rowsOf(db).filter(({ reduced_to }) => reduced_to === 'thinned')).toHaveLength(10);
    expect(shown()).toEqual(before);
    expect(prune({ ...WISH, keep: 'seconds' })).toMatchObject({ records: 0 });
    // A second's value reaches to its end.
    expect(prune({ ...WISH, beforeMs: BEFORE + 100 })).toMatchObject({ records: 10 });
  });

  it('writes down what was let go, for good, with the samples that went: also of a run that was cut off', async () => {
    for (const cutOff of [false, true]) {
      const { db, pruning, sealTo } = await filled();
      sealTo(RECORDS);
      const [plan] = pruning.plan(WISH);
      const run = pruning.prune(plan!, WISH, { at: AT, backup: '/media/b.tar.gz' });
      run.next();
      // A run that is never gone on with is one whose program was killed.
      if (!cutOff) for (const _ of run);
      expect(
        db.prepare('SELECT at, before, kept, records, bytes > 0 AS freed, backup FROM prunings').all(),
      ).toEqual([
        {
          ...{ at: AT, before: new Date(BEFORE).toISOString(), kept: 'none' },
          ...{ records: 10, freed: 1, backup: '/media/b.tar.gz' },
        },
      ]);
      for (const sql of ['DELETE FROM prunings', 'UPDATE prunings SET records = 0']) {
        expect(() => db.exec(sql)).toThrow(/stays written down/);
      }
    }
  });

  it('writes down nothing where nothing went, and all of many pages in few lines', async () => {
    const directory = tempDir();
    const store = openStore(directory);
    store.commitRecords(chain(250), AT);
    const { db, pruning } = await openForPruning(join(directory, 'dashboard.sqlite3'));
    onTestFinished(() => void db.close());
    const wish: PruneWish = { beforeMs: START_MS + 3_600_000, keep: 'none', unsealed: true };
    const [plan] = pruning.plan(wish);
    let done = { records: 0, bytes: 0 };
    for (done of pruning.prune(plan!, wish, { at: AT, backup: null }));
    const sums = 'SELECT sum(records) AS records, sum(bytes) AS bytes, count(*) AS lines FROM prunings';
    expect(db.prepare(sums).get()).toEqual({ records: 250, bytes: done.bytes, lines: 2 });
    for (const _ of pruning.prune(plan!, wish, { at: AT, backup: null }));
    expect(db.prepare(sums).get()).toMatchObject({ records: 250, lines: 2 });
  });

  it('believes a backup only when it is whole and holds these very records', async () => {
    const { directory, db, sql, sealTo, pruning, store, records } = await filled();
    sealTo(RECORDS);
    const backup = async (name: string) => {
      const file = join(tempDir(), name);
      await writeBackup({
        ...{ data: directory, file, withKeys: false, sqlite: Sqlite, software: 't' },
        now: () => new Date(START_MS),
        onProgress: () => {},
      });
      return file;
    };
    const good = await backup('good.tar.gz');
    const streams = pruning.plan(WISH);
    await expect(requireCovered(good, streams, sql, () => {})).resolves.toBeUndefined();
    db.prepare('UPDATE streams SET upto = 5, head = ?').run(records[4]!.message.hash);
    const early = await backup('early.tar.gz');
    await expect(requireCovered(early, streams, sql, () => {})).rejects.toMatchObject({ exitCode: 7 });
    db.prepare('UPDATE streams SET upto = 20, head = ?').run(
      createHash('sha256').update('other').digest('hex'),
    );
    const other = await backup('other.tar.gz');
    await expect(requireCovered(other, streams, sql, () => {})).rejects.toMatchObject({ exitCode: 7 });
    expect(store.streamStates()).toHaveLength(1);
  });

  it('leaves a store that verifies: the roots that were signed are those of what was recorded', async () => {
    const { directory, verify } = await sealedStore();
    expect(verify()).toMatchObject({ fits: true });
    const { db, pruning } = await openForPruning(join(directory, 'dashboard.sqlite3'));
    const wish: PruneWish = { beforeMs: START_MS + 3_600_000, keep: 'none', unsealed: false };
    const [plan] = pruning.plan(wish);
    // The last checkpoint covers all but the record that carries it.
    expect(plan).toMatchObject({ records: 11, notSealed: 1 });
    for (const _ of pruning.prune(plan!, wish));
    db.close();
    const report = verify();
    expect(report).toMatchObject({ fits: true });
    expect(JSON.stringify(report)).toContain('11 records pruned, root intact');
  });
});
