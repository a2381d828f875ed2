/**
 * What a commit asks of the store does not grow with what its stream has recorded: a stream lasts as long as its board.
 * Nor does the check of one joint, for which a screen waits, read every pass there ever was.
 */
import Sqlite from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { type Sqlite as Constructor, SqliteStore } from '../../../dashboard/server/store/sqlite-store.ts';
import { verifyJoint } from '../../../dashboard/server/verify/verify-joint.ts';
import { fillWithJoints } from '../../support/many-joints.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS } from '../../support/test-records.ts';
import { openDatabase } from '../../support/test-store.ts';
import { AT, chain, RIG } from './store-support.ts';

/** Every statement that the store runs, its values in it. */
function storeThatTells(directory: string): { store: SqliteStore; said: string[] } {
  const said: string[] = [];
  const verbose = (text: unknown): void => void said.push(String(text));
  const sqlite = function open(file: string, options: Sqlite.Options): Sqlite.Database {
    return new Sqlite(file, { ...options, verbose });
  } as unknown as Constructor;
  const { report } = recordedEvents();
  const store = new SqliteStore({ directory, sqlite, report, now: () => new Date(START_MS) });
  store.open();
  onTestFinished(() => store.close());
  return { store, said };
}

/**
 * Statements that add something up over every record of a stream: by SQLite's own account of them, the index is searched
 * by the stream alone and an aggregate takes one row after another (https://www.sqlite.org/opcode.html: AggStep, Next;
 * a lone min() or max() leaves after one, https://www.sqlite.org/optoverview.html#the_min_max_optimization).
 */
function overWholeStream(directory: string, statements: readonly string[]): string[] {
  const db = openDatabase(directory);
  return statements.filter(sql => {
    const plan = db.prepare(`EXPLAIN QUERY PLAN ${sql}`).all() as { detail: string }[];
    if (!plan.some(({ detail }) => /^(?:SCAN|SEARCH) records\b(?!.* AND )/.test(detail))) return false;
    const steps = db.prepare(`EXPLAIN ${sql}`).all() as { opcode: string }[];
    return steps.some(
      ({ opcode }, i) => opcode === 'AggStep' && /^(Next|Prev)$/.test(steps[i + 1]?.opcode ?? ''),
    );
  });
}

describe('a commit', () => {
  it('looks at no more of its stream than its ends', () => {
    const directory = tempDir();
    const { store, said } = storeThatTells(directory);
    const records = chain(12);
    store.commitRecords(records.slice(0, 10), AT);
    said.length = 0;
    store.commitRecords(records.slice(10, 11), AT);
    expect(store.streamState(RIG, records[0]!.message.stream)).toMatchObject({
      lowest: 1,
      highest: 11,
      upto: 11,
    });
    const asked = said.filter(sql => /^\s*SELECT/.test(sql));
    expect(asked.length).toBeGreaterThan(3);
    expect(overWholeStream(directory, asked)).toEqual([]);
  });

  it('is told by this check where it would', () => {
    const directory = tempDir();
    storeThatTells(directory);
    const whole = [
      'SELECT min(seq), max(seq) FROM records WHERE stream_id = 1',
      'SELECT count(*) FROM records WHERE stream_id = 1',
    ];
    const ends = 'SELECT (SELECT min(seq) FROM records WHERE stream_id = 1)';
    expect(overWholeStream(directory, [...whole, ends])).toEqual(whole);
  });
});

describe('the check of one joint', () => {
  it('finds its passes and what was entered of them without reading all others', () => {
    const directory = tempDir();
    const { store, said } = storeThatTells(directory);
    fillWithJoints(store, 5);
    const [pass] = store.passes({ limit: 1 }).items;
    said.length = 0;
    for (const _ of verifyJoint(store.verification, pass!.joint!, new Set(), 'ownSeals'));
    const asked = said.filter(sql => /^\s*SELECT/.test(sql) && /\bpasses\b/.test(sql));
    expect(asked.length).toBeGreaterThan(1);
    const db = openDatabase(directory);
    const plans = asked.flatMap(sql => db.prepare(`EXPLAIN QUERY PLAN ${sql}`).all() as { detail: string }[]);
    const scans = plans.map(({ detail }) => detail).filter(detail => /^SCAN passes\b/.test(detail));
    expect(new Set(scans)).toEqual(new Set(['SCAN passes USING COVERING INDEX passes_by_joint']));
  });
});
