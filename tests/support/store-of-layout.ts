/** A store as a dashboard of an earlier layout left it, with rows in each table it had. */
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { migrate } from '../../dashboard/server/store/migrate.ts';
import { tempDir } from './temp-dir.ts';
import {
  EXAMPLE_PROCEDURE,
  START_MS,
  STREAM,
  testChain,
  testDeviation,
  testEvent,
  testPass,
} from './test-records.ts';

const AT = new Date(START_MS).toISOString();
export const FILE = 'dashboard.sqlite3';
export const RECORDS = 12;
/** From this layout on the hash is bytes, and when a record came a number. */
const PACKED_SINCE = 15;

/** A store as a dashboard of that time left it: its steps, and rows in each table it had. */
export function storeOfLayout(layout: number): string {
  const directory = tempDir();
  const file = join(directory, FILE);
  const db = new Sqlite(file);
  db.pragma('journal_mode = WAL');
  db.pragma('foreign_keys = ON');
  migrate(db, file, layout);
  const insert = (table: string, row: Record<string, unknown>): void => {
    const columns = Object.keys(row);
    const values = columns.map(column => `@${column}`).join(', ');
    db.prepare(`INSERT INTO ${table} (${columns.join(', ')}) VALUES (${values})`).run(row);
  };
  const records = testChain(RECORDS);
  insert('rigs', { site: 'spread-1', rig: 'rig-a', place: 0, first_seen: AT, origin: 'simulated' });
  insert('streams', {
    ...{ id: 1, site: 'spread-1', rig: 'rig-a', stream: STREAM, origin: 'simulated', first_seq: 1 },
    ...{ upto: RECORDS, head: records.at(-1)!.hash, last_received: AT },
  });
  for (const { seq, prev, hash, origin, body } of records) {
    const came =
      layout < PACKED_SINCE
        ? { hash, received_at: AT }
        : { hash_bytes: Buffer.from(hash, 'hex'), received_ms: Date.parse(AT) };
    insert('records', { stream_id: 1, seq, prev, ...came, origin, unreadable: null, body });
    insert('chunks', {
      ...{
        stream_id: 1,
        seq,
        first_us: seq,
        last_us: seq + 1,
        period_us: 10,
        first_utc_ms: 0,
        last_utc_ms: 1,
      },
      ...{ utc_minus_record_ms: 0, n: 1, gaps: '[]', extremes: '{}', data: Buffer.from([seq]) },
    });
  }
  insert('record_conflicts', {
    stream_id: 1,
    seq: 3,
    prev: 'p',
    hash: 'h',
    origin: 'simulated',
    received_at: AT,
    body: '',
  });
  const pass = testPass(1, { deviations: [testDeviation(1)] });
  const { passId, origin, site, rig, joint, startUtc, endUtc } = pass;
  insert('passes', {
    ...{
      pass_id: passId,
      stream_id: 1,
      seq: 2,
      origin,
      site,
      rig,
      joint,
      start_utc: startUtc,
      end_utc: endUtc,
    },
    ...{ deviations: 1, message: JSON.stringify(pass) },
  });
  insert('deviations', {
    ...{ pass_id: passId, n: 0, origin, site, rig, joint, side: 'A', procedure_pass: 'fill 1', at_utc: AT },
    deviation: JSON.stringify(pass.deviations[0]),
  });
  const event = testEvent(1);
  const { id: event_id, at, type } = event;
  insert('events', { stream_id: 1, event_id, site, rig, at, type, message: JSON.stringify(event) });
  insert('procedures', {
    id: 'example-610',
    revision: 1,
    at: AT,
    author: 'p-1',
    document: JSON.stringify(EXAMPLE_PROCEDURE),
  });
  insert('assignments', { id: 'a-1', site, rig, at: AT, author: 'p-1', work: null });
  insert('people_changes', { person_id: 'p-1', at: AT, name: 'A. Example', roles: '["inspector"]' });
  if (layout >= 2) {
    insert('journal', {
      ...{
        id: 'e-1',
        at: AT,
        origin: 'real',
        author: 'p-1',
        shift_date: '2026-05-12',
        reason: null,
        corrects: null,
      },
      ...{ kind: 'consumables', subject: 'joint:J-0001' },
      body: JSON.stringify({ kind: 'consumables', joint: 'J-0001', wireLot: 'W-1' }),
    });
    insert('judgements', { entry_id: 'e-1', answer: '{}' });
  }
  db.close();
  return directory;
}
