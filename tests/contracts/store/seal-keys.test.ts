/** What the truck knows of its rigs' keys and seals outlasts its program and its file. */
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { expect, it } from 'vitest';
import { SealCheck } from '../../../dashboard/server/ingest/seal-check.ts';
import { recordedEvents } from '../../support/recorded-events.ts';
import { SealedStream, testKey } from '../../support/seal-bench.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { openStore } from '../../support/test-store.ts';
import { AT, RIG, verified } from './store-support.ts';

function commit(store: ReturnType<typeof openStore>, stream: SealedStream): void {
  store.commitRecords(
    stream.records.map(record => verified(record)),
    AT,
  );
}

async function checked(store: ReturnType<typeof openStore>): Promise<Record<string, number>> {
  const { report, counts } = recordedEvents();
  const check = new SealCheck({
    store,
    report,
    now: () => new Date(AT),
    set: () => undefined,
    onStoreError: error => {
      throw error;
    },
  });
  check.start();
  await check.settled();
  return counts;
}

it('seals that a killed dashboard had stored and not checked are checked at the next start, each once', async () => {
  const directory = tempDir();
  const stream = new SealedStream(testKey()).begin();
  stream.pass(1);
  const killed = openStore(directory);
  commit(killed, stream);
  killed.close();
  const store = openStore(directory);
  expect(await checked(store)).toMatchObject({ sealVerified: 2, sealKeyPinned: 1 });
  expect(await checked(store)).toEqual({});
  // What comes again was stored already.
  commit(store, stream);
  expect(await checked(store)).toEqual({});
  stream.checkpoint();
  commit(store, stream);
  expect(await checked(store)).toEqual({ sealVerified: 1 });
});

it('a pinned key outlasts the file it stood in: no other is pinned in its place', async () => {
  const directory = tempDir();
  const own = testKey();
  const stream = new SealedStream(own).begin();
  const before = openStore(directory);
  commit(before, stream);
  await checked(before);
  before.close();
  const db = new Sqlite(join(directory, 'dashboard.sqlite3'));
  db.exec(`UPDATE records SET body = replace(body, '"origin":"simulated"', '"origin":"real"') WHERE seq = 2`);
  db.close();

  const events = recordedEvents();
  const store = openStore(directory, events);
  expect(events.counts['storeQuarantined']).toBe(1);
  expect(store.seals.keys(RIG)).toMatchObject([{ keyId: own.keyId, state: 'pinned', how: 'firstSeen' }]);
  const foreign = new SealedStream(testKey()).begin();
  commit(store, foreign);
  expect(await checked(store)).toMatchObject({ sealFailed: 1, sealKeyRefused: 1 });
  expect(store.seals.keys(RIG).map(({ state }) => state)).toEqual(['pinned', 'refused']);
});
