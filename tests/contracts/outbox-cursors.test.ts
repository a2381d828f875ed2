/** When the cursors of the outbox reach its file. */
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { expect, it, onTestFinished } from 'vitest';
import { OutboxStore } from '../../edge/outbox/outbox-store.ts';
import { tempDir } from '../support/temp-dir.ts';

it('a cursor is written with the next batch, after 2 s without one, or when the store is closed', () => {
  const path = join(tempDir(), 'edge.db');
  let ms = 0;
  const store = new OutboxStore({ path, requiredStores: ['truck'], monotonicMs: () => ms, wallMs: () => 0 });
  onTestFinished(() => store.close());
  const { stream } = store.open();
  const append = (text: string) =>
    store.append([{ body: JSON.stringify({ text }), closedUs: 1_000_000, closedUtcMs: 1000, state: {} }]);
  for (const text of ['a', 'b', 'c', 'd']) append(text);
  const hashes = store.read(1, 10, 1e6).map(row => row.hash);
  const acknowledge = (upto: number) =>
    store.acknowledge({ store: 'truck', stream, upto, head: hashes[upto - 1]! });
  const inFile = (): unknown => {
    const db = new Database(path, { readonly: true });
    const upto = db.prepare("SELECT upto FROM cursor WHERE store = 'truck'").pluck().get();
    db.close();
    return upto;
  };

  expect(acknowledge(2)).toBe('accepted');
  store.makeRoom();
  // A kill now costs a resend of two batches.
  expect(inFile()).toBeUndefined();
  append('e');
  expect(inFile()).toBe(2);

  expect(acknowledge(3)).toBe('accepted');
  ms = 1999;
  store.makeRoom();
  expect(inFile()).toBe(2);
  ms = 2000;
  store.makeRoom();
  expect(inFile()).toBe(3);

  // One that goes back is written at once: what follows is sent again also after a kill.
  expect(acknowledge(1)).toBe('rewound');
  expect(inFile()).toBe(1);
  expect(acknowledge(4)).toBe('accepted');
  store.close();
  expect(inFile()).toBe(4);
});
