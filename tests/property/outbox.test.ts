/** The outbox against a model in memory: append, kill, power cut, reopen, acknowledge, lie, lose, fill up. */
import { appendFileSync, copyFileSync, existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it, onTestFinished } from 'vitest';
import { recordBodySchema } from '#core/messages/record';
import { OutboxStore } from '../../edge/outbox/outbox-store.ts';
import type { AckClaim, PendingBatch } from '../../edge/outbox/outbox-types.ts';
import { OutboxModel } from '../support/outbox-model.ts';
import { START_MS, testBody, testChunk, testEvent } from '../support/test-records.ts';

const STORES = ['truck', 'office'] as const;
const MIB = 1024 * 1024;
/** Batches that stay whole while another can give way (docs/edge.md). */
const NEWEST = 600;

type Lie = 'none' | 'head' | 'stream' | 'future';

const action = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.record({
      kind: fc.constant('append' as const),
      texts: fc.array(fc.string({ unit: 'grapheme', maxLength: 30 }), { minLength: 1, maxLength: 4 }),
      state: fc.string({ maxLength: 10 }),
    }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('kill' as const) }) },
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('cut' as const),
      /** What of an unfinished write reached the log. */
      torn: fc.uint8Array({ minLength: 1, maxLength: 5000 }),
    }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('reopen' as const) }) },
  {
    weight: 2,
    arbitrary: fc.record({ kind: fc.constant('full' as const), slices: fc.integer({ min: 1, max: 4 }) }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant('wait' as const), ms: fc.integer({ min: 1, max: 20_000 }) }),
  },
  {
    weight: 4,
    arbitrary: fc.record({
      kind: fc.constant('ack' as const),
      store: fc.constantFrom(...STORES, 'stranger'),
      /** Of what is committed, in hundredths: less than before is a store that has lost something. */
      share: fc.integer({ min: 0, max: 100 }),
      lie: fc.constantFrom<Lie>('none', 'none', 'none', 'none', 'head', 'stream', 'future'),
    }),
  },
);

/** With samples, with an event, or text that is no record body at all: what is not understood is left alone. */
function bodyOf(text: string, seq: number): string {
  if (text.length % 3 === 0) return JSON.stringify(text);
  const chunk = testChunk(START_MS * 1000 + seq * 1e6, 20, 20);
  return JSON.stringify(testBody({ chunk, events: text.length % 3 === 1 ? [] : [testEvent(seq)] }));
}

const pending = (bodies: readonly string[], from: number, state: string): PendingBatch[] =>
  bodies.map((body, i) => ({ body, closedUs: from + i, closedUtcMs: 0, state: { last: state } }));

/** Enough before each sequence that batches can give way; written once and copied. */
function fill(path: string): { stream: string; bodies: string[] } {
  const store = new OutboxStore({ path, requiredStores: STORES, monotonicMs: () => 0, wallMs: () => 0 });
  const { stream } = store.open();
  const bodies = Array.from({ length: NEWEST + 150 }, (_, i) => bodyOf('x'.repeat(i % 7), i + 1));
  store.append(pending(bodies, 1, 'filled'));
  store.close();
  return { stream, bodies };
}

describe('outbox', () => {
  it('holds what it committed, in order, once, whatever happens; cursors move on true claims only', () => {
    const images = memoryDir();
    const origin = join(memoryDir(), 'filled.db');
    const filled = fill(origin);
    fc.assert(
      fc.property(fc.array(action, { maxLength: 25, size: 'max' }), actions => {
        let path = join(mkdtempSync(join(images, 'run-')), 'edge.db');
        copyFileSync(origin, path);
        let ms = 0;
        // Neither tight nor room for a ballast: 200 of them would be half a gigabyte.
        let freeBytes = 4 * MIB;
        const open = (): OutboxStore =>
          new OutboxStore({
            path,
            requiredStores: STORES,
            budget: { budgetBytes: null, reserveBytes: MIB },
            disk: () => ({ freeBytes, totalBytes: 100 * MIB }),
            monotonicMs: () => ms,
            wallMs: () => 0,
          });
        let store = open();
        const model = new OutboxModel(filled.stream, STORES);
        model.append(pending(filled.bodies, 1, 'filled'));
        model.state = 'filled';
        store.open();

        for (const step of actions) {
          if (step.kind === 'append') {
            const bodies = step.texts.map((text, i) => bodyOf(text, model.lastSeq + i + 1));
            const batches = pending(bodies, model.lastSeq + 1, step.state);
            model.append(batches);
            model.state = step.state;
            expect(store.append(batches)).toMatchObject({
              lastSeq: model.lastSeq,
              head: model.hashAt(model.lastSeq),
            });
          } else if (step.kind === 'ack') {
            const upto =
              step.lie === 'future' ? model.lastSeq + 1 : Math.floor((step.share / 100) * model.lastSeq);
            const claim: AckClaim = {
              store: step.store,
              stream: step.lie === 'stream' ? 'f'.repeat(32) : model.stream,
              upto,
              head: step.lie === 'head' ? 'e'.repeat(64) : model.hashAt(upto),
            };
            expect(store.acknowledge(claim)).toBe(model.judge(claim, ms));
          } else if (step.kind === 'wait') {
            ms += step.ms;
          } else if (step.kind === 'full') {
            freeBytes = 0;
            for (let i = 0; i < step.slices; i++) store.makeRoom();
            freeBytes = 4 * MIB;
            const { watermark, lastSeq } = model;
            const allowed = (seq: number, to: 'thinned' | 'pruned'): boolean =>
              seq <= lastSeq - NEWEST && (to === 'pruned' ? seq <= watermark : true);
            expect(model.problemIn(store.read(1, 1e6, 1e9), allowed)).toBeNull();
          } else {
            if (step.kind === 'reopen') {
              store.close();
              model.settled();
            } else path = imageOf(store, path, images, step.kind === 'cut' ? step.torn : null);
            store = open();
            const opened = store.open();
            expect(opened).toMatchObject({
              stream: model.stream,
              committedSeq: model.lastSeq,
              quarantine: null,
            });
            expect(opened.head).toBe(model.hashAt(model.lastSeq));
            expect(opened.state['last']).toBe(model.state);
            for (const name of STORES) {
              const upto = opened.cursors[name]!.upto;
              expect(upto).toBeGreaterThanOrEqual(model.inFile[name]!.from);
              expect(upto).toBeLessThanOrEqual(model.inFile[name]!.to);
            }
            model.restarted(Object.fromEntries(STORES.map(name => [name, opened.cursors[name]!.upto])));
          }
        }
        const rows = store.read(1, 1e6, 1e9);
        expect(model.problemIn(rows, () => false)).toBeNull();
        for (const row of rows) {
          if (row.reduced && row.body !== '')
            expect(eventsOf(row.body)).toEqual(eventsOf(model.batches[row.seq - 1]!.body));
        }
        store.close();
        for (const name of readdirSync(images)) rmSync(join(images, name), { recursive: true });
      }),
      { numRuns: 200 },
    );
  }, 120_000);
});

/** Files in memory where the system has some: thousands of syncs to a disk would prove nothing more here. */
function memoryDir(): string {
  const base = existsSync('/dev/shm') ? '/dev/shm' : tmpdir();
  const dir = mkdtempSync(join(base, 'girthlog-test-'));
  onTestFinished(() => rmSync(dir, { recursive: true, force: true }));
  return dir;
}

const eventsOf = (body: string) => recordBodySchema.parse(JSON.parse(body)).events;

/** The files exactly as a kill leaves them, the log not checkpointed; after a power cut with a torn write at its end. */
function imageOf(store: OutboxStore, path: string, images: string, torn: Uint8Array | null): string {
  const image = join(mkdtempSync(join(images, 'run-')), 'edge.db');
  for (const part of ['', '-wal']) if (existsSync(path + part)) copyFileSync(path + part, image + part);
  store.close();
  if (torn) appendFileSync(`${image}-wal`, torn);
  return image;
}
