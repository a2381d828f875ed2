/** The truck's store cannot be used: what waits, what screens are told, and that it goes on by itself. */
import { closeSync, openSync, writeSync } from 'node:fs';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type { Problem } from '#core/messages/api';
import { ROUTES } from '../../dashboard/server/api/route-table.ts';
import { answer } from '../support/http-answers.ts';
import { journal, moved } from '../support/http-journal.ts';
import { readEvents } from '../support/sse-reader.ts';
import { startTestDashboard, type TestDashboard } from '../support/test-dashboard.ts';
import { STREAM, testChain } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

const RECORD = 'girthlog/1/spread-1/rig-a/record';

function databaseOf(dashboard: TestDashboard): Sqlite.Database {
  return (dashboard.store as unknown as { opened: { db: Sqlite.Database } }).opened.db;
}

/** SQLite itself says SQLITE_FULL: the file may not grow. */
function fill(dashboard: TestDashboard): () => void {
  const db = databaseOf(dashboard);
  const pages = db.pragma('page_count', { simple: true }) as number;
  db.pragma(`max_page_count = ${pages}`);
  return () => db.pragma('max_page_count = 1073741823');
}

describe('a full disk at the truck', () => {
  it('acknowledges nothing, says so on every screen, and goes on by itself when there is room', async () => {
    const dashboard = await startTestDashboard();
    const screen = await readEvents(`${dashboard.url}/api/v1/stream`);
    const records = testChain(40);
    dashboard.receive(RECORD, records[0]);
    await dashboard.settle();
    const makeRoom = fill(dashboard);
    // More than the free space inside the pages there are.
    for (const record of records.slice(1)) dashboard.receive(RECORD, record);
    await waitUntil(() => dashboard.counts['storePaused'], 'the store to be full');
    expect(dashboard.counts).toMatchObject({ storePaused: 1, recordStored: 1 });
    expect(dashboard.store.streamStates()).toMatchObject([{ upto: 1 }]);
    const [full] = (
      await waitUntil(
        () => screen.of('truck').find(({ data }) => data.conditions.length > 0),
        'the screen to be told',
      )
    ).data.conditions;
    expect(full).toMatchObject({ cause: 'storeFull', priority: 'high' });
    const ready = (await (await dashboard.get('/readyz')).json()) as { ready: boolean; warnings: string[] };
    expect(ready.warnings).toContain(full!.text);

    makeRoom();
    await waitUntil(() => dashboard.counts['storeResumed'], 'the store to go on');
    await dashboard.settle();
    expect(dashboard.store.streamStates()).toMatchObject([{ upto: 40, waiting: 0 }]);
    await waitUntil(() => screen.of('truck').at(-1)?.data.conditions.length === 0, 'the screen to be told');
    expect(dashboard.fatal).toEqual([]);
  });

  it('refuses what a person enters with one sentence, without ending', async () => {
    const dashboard = await startTestDashboard();
    fill(dashboard);
    const status = async (n: number) =>
      await dashboard.post('/api/v1/people', {
        name: `A. Example ${n} ${'x'.repeat(50)}`,
        roles: ['viewer'],
      });
    let answer = await status(0);
    for (let n = 1; answer.status === 201; n++) answer = await status(n);
    expect(answer.status).toBe(507);
    expect((await answer.json()) as Problem).toMatchObject({
      code: 'storeFull',
      detail: expect.stringContaining('disk is full'),
    });
    expect(dashboard.counts).toMatchObject({ storeFailed: 1 });
    expect(dashboard.fatal).toEqual([]);
  });

  it('shows joints, and what a moved pass is judged by, as far as they are known: reading needs no room', async () => {
    const dashboard = await journal();
    await dashboard.enter(moved(), { reason: 'wrong joint typed' });
    const full = (): never => {
      throw new Sqlite.SqliteError('database or disk is full', 'SQLITE_FULL');
    };
    const { put } = dashboard.store.jointList;
    const { addJudgement } = dashboard.store.journal;
    Object.assign(dashboard.store.jointList, { put: full });
    Object.assign(dashboard.store.journal, { addJudgement: full });
    const list = async () => await answer(ROUTES.jointList, await dashboard.get('/api/v1/joint-list'));
    expect((await list()).unread).toBeGreaterThan(0);
    const read = await dashboard.get(`/api/v1/passes/${STREAM}:1/journal`);
    expect((await answer(ROUTES.passJournal, read)).judgements).toHaveLength(2);
    Object.assign(dashboard.store.jointList, { put });
    Object.assign(dashboard.store.journal, { addJudgement });
    const later = await list();
    expect(later.unread).toBe(0);
    expect(later.joints.map(({ joint }) => joint)).toContain('J-0002');
    expect(dashboard.fatal).toEqual([]);
  });

  it('gives a new rig its place with a later message, when there is room again', async () => {
    const dashboard = await startTestDashboard();
    const { store } = dashboard as { store: { ensureRig: typeof dashboard.store.ensureRig } };
    const { ensureRig } = store;
    store.ensureRig = () => {
      throw new Sqlite.SqliteError('database or disk is full', 'SQLITE_FULL');
    };
    const [record] = testChain(1);
    dashboard.receive(RECORD, record);
    expect(dashboard.counts).toMatchObject({ storeFailed: 1 });
    store.ensureRig = ensureRig;
    dashboard.receive(RECORD, record);
    await dashboard.settle();
    expect(dashboard.store.rigs()).toMatchObject([{ rig: 'rig-a', place: 0 }]);
    expect(dashboard.fatal).toEqual([]);
  });
});

describe('a store that breaks while it runs', () => {
  it('ends the program as soon as anybody meets it, so that the next start can move it aside', async () => {
    const dashboard = await startTestDashboard();
    for (const record of testChain(200)) dashboard.receive(RECORD, record);
    await dashboard.settle();
    const db = databaseOf(dashboard);
    db.pragma('wal_checkpoint(TRUNCATE)');
    const handle = openSync(db.name, 'r+');
    // Every page but the first, which SQLite keeps in memory.
    const pages = db.pragma('page_count', { simple: true }) as number;
    for (let page = 1; page < pages; page++)
      writeSync(handle, Buffer.alloc(4096, 0xa5), 0, 4096, page * 4096);
    closeSync(handle);
    db.pragma('shrink_memory');
    const answer = await dashboard.get('/api/v1/events');
    expect(answer.status).toBe(503);
    expect(dashboard.fatal.map(error => (error as { code?: string }).code)).toEqual(['SQLITE_CORRUPT']);
  });
});
