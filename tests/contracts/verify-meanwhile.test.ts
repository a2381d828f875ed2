/** A store is verified beside the dashboard that goes on with it: what comes or gives way meanwhile is no forgery. */
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { RecordMessage } from '#core/messages/record';
import { verifyRecord } from '../../dashboard/server/ingest/verify-record.ts';
import { openForPruning } from '../../dashboard/server/store/open-for-pruning.ts';
import type { PruneWish } from '../../dashboard/server/store/pruning.ts';
import type { SqliteStore } from '../../dashboard/server/store/sqlite-store.ts';
import { prepareOnce } from '../../dashboard/server/store/statements.ts';
import { VerifyReader } from '../../dashboard/server/verify/verify-reader.ts';
import { verifyStore } from '../../dashboard/server/verify/verify-store.ts';
import { sealedDay } from '../support/sealed-store.ts';
import { tempDir } from '../support/temp-dir.ts';
import { START_MS } from '../support/test-records.ts';
import { openStore } from '../support/test-store.ts';

const RIG = { site: 'spread-1', rig: 'rig-a' };
const AT = new Date(START_MS).toISOString();

function commit(store: SqliteStore, records: readonly RecordMessage[]): void {
  const verified = records.map(message => {
    const result = verifyRecord(RIG, message);
    if (!result.ok) throw new Error(result.event);
    return result.record;
  });
  store.commitRecords(verified, AT);
}

/** Of another process, as `verify` is. */
function readerOf(directory: string): VerifyReader {
  const db = new Sqlite(join(directory, 'dashboard.sqlite3'), { readonly: true });
  onTestFinished(() => void db.close());
  return new VerifyReader(prepareOnce(db));
}

describe('a store that is verified while its dashboard goes on', () => {
  it('fits, though seals, passes and entries come after it was begun', () => {
    const directory = tempDir();
    const store = openStore(directory);
    const day = sealedDay();
    commit(store, day.slice(0, 6));
    const entry = (n: number): void => {
      store.journal.add({
        ...{
          id: `e-${n}`,
          at: AT,
          origin: 'simulated',
          author: 'p-1',
          shiftDate: '2026-05-12',
          reason: null,
        },
        ...{ corrects: null, body: { kind: 'consumables', joint: 'J-0001', wireLot: `W-${n}` } },
      });
    };
    entry(1);
    const steps = verifyStore(readerOf(directory), new Set());
    let step = steps.next();
    commit(store, day.slice(6));
    for (let n = 2; !step.done; n++) {
      entry(n);
      if (n > 4) break;
      step = steps.next();
    }
    while (!step.done) step = steps.next();
    expect(step.value.problems).toEqual([]);
    // What came is for the next time, and is looked at then.
    const again = verifyStore(readerOf(directory), new Set());
    for (step = again.next(); !step.done; step = again.next());
    expect(step.value.problems).toEqual([]);
    expect(step.value.tally.checked).toMatchObject({ records: 12, passes: 2 });
  });

  it('still tells a record that a seal witnessed and that is gone', () => {
    const directory = tempDir();
    const store = openStore(directory);
    commit(store, sealedDay());
    store.close();
    const db = new Sqlite(join(directory, 'dashboard.sqlite3'));
    db.exec('DELETE FROM records WHERE seq > 9; UPDATE streams SET upto = 9');
    db.exec('UPDATE streams SET head = (SELECT hash FROM records WHERE seq = 9)');
    db.close();
    const steps = verifyStore(readerOf(directory), new Set());
    let step = steps.next();
    while (!step.done) step = steps.next();
    expect(step.value.problems[0]).toMatchObject({ part: 'head', seq: 10 });
  });

  it('fits, though samples are let go between two looks at one record', async () => {
    for (const settles of [false, true]) {
      const directory = tempDir();
      const store = openStore(directory);
      commit(store, sealedDay());
      if (settles) while (store.settling.step(START_MS + 86_400_000));
      const { db, pruning } = await openForPruning(join(directory, 'dashboard.sqlite3'));
      onTestFinished(() => void db.close());
      const wish: PruneWish = { beforeMs: START_MS + 3_600_000, keep: 'none', unsealed: true };
      const reader = readerOf(directory);
      const samples = reader.samples.bind(reader);
      let looks = 0;
      reader.samples = (streamId, seq) => {
        looks++;
        if (looks === 3)
          for (const stream of pruning.plan(wish)) for (const _ of pruning.prune(stream, wish));
        return samples(streamId, seq);
      };
      const steps = verifyStore(reader, new Set());
      let step = steps.next();
      while (!step.done) step = steps.next();
      expect(looks).toBeGreaterThanOrEqual(3);
      expect(step.value.problems, `settled: ${settles}`).toEqual([]);
    }
  });
});
