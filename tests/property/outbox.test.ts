/** The outbox against a model in memory: append, crash, reopen, acknowledge, lie. */
import { copyFileSync, existsSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CHAIN_START } from '#core/record/chain';
import { OutboxStore } from '../../edge/outbox/outbox-store.ts';
import type { AckClaim, AckVerdict } from '../../edge/outbox/outbox-types.ts';
import { tempDir } from '../support/temp-dir.ts';
import { verifyChain } from '../support/verify-chain.ts';

const STORES = ['truck', 'office'] as const;

type Action =
  | { readonly kind: 'append'; readonly texts: readonly string[]; readonly state: string }
  | { readonly kind: 'crash' }
  | { readonly kind: 'reopen' }
  | { readonly kind: 'ack'; readonly store: string; readonly share: number; readonly lie: Lie };

type Lie = 'none' | 'head' | 'stream' | 'future';

const action: fc.Arbitrary<Action> = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.record({
      kind: fc.constant('append' as const),
      texts: fc.array(fc.string({ unit: 'grapheme', maxLength: 30 }), { minLength: 1, maxLength: 4 }),
      state: fc.string({ maxLength: 10 }),
    }),
  },
  { weight: 1, arbitrary: fc.constant({ kind: 'crash' as const }) },
  { weight: 1, arbitrary: fc.constant({ kind: 'reopen' as const }) },
  {
    weight: 3,
    arbitrary: fc.record({
      kind: fc.constant('ack' as const),
      store: fc.constantFrom(...STORES, 'stranger'),
      /** Of what is committed, in hundredths. */
      share: fc.integer({ min: 0, max: 100 }),
      lie: fc.constantFrom<Lie>('none', 'none', 'none', 'head', 'stream', 'future'),
    }),
  },
);

describe('outbox', () => {
  it('holds what it committed, in order, once, whatever happens; cursors move on true claims only', () => {
    fc.assert(
      fc.property(fc.array(action, { maxLength: 30 }), actions => {
        let path = join(tempDir(), 'edge.db');
        const open = (): OutboxStore =>
          new OutboxStore({ path, requiredStores: STORES, monotonicMs: () => 0, wallMs: () => 0 });
        let store = open();
        const { stream } = store.open();
        const bodies: string[] = [];
        const hashes: string[] = [CHAIN_START];
        let state: string | undefined;
        const cursors: Record<string, number> = { truck: 0, office: 0 };

        for (const step of actions) {
          if (step.kind === 'append') {
            const batches = step.texts.map((text, i) => ({
              body: JSON.stringify(text),
              closedUs: bodies.length + i,
              closedUtcMs: 0,
              state: { last: step.state },
            }));
            const result = store.append(batches);
            bodies.push(...batches.map(batch => batch.body));
            state = step.state;
            expect(result.lastSeq).toBe(bodies.length);
            hashes.push(...store.read(hashes.length, 100, 1e9).map(row => row.hash));
          } else if (step.kind === 'ack') {
            const upto =
              step.lie === 'future' ? bodies.length + 1 : Math.floor((step.share / 100) * bodies.length);
            const claim: AckClaim = {
              store: step.store,
              stream: step.lie === 'stream' ? 'f'.repeat(32) : stream,
              upto,
              head: step.lie === 'head' ? 'e'.repeat(64) : (hashes[upto] ?? CHAIN_START),
            };
            const verdict = store.acknowledge(claim);
            expect(verdict).toBe(expected(claim, stream, step.lie, cursors, bodies.length));
            if (verdict === 'accepted') cursors[step.store] = upto;
          } else {
            if (step.kind === 'crash') path = crash(store, path);
            else store.close();
            store = open();
            const opened = store.open();
            expect(opened).toMatchObject({ stream, committedSeq: bodies.length, quarantine: null });
            expect(opened.head).toBe(hashes.at(-1));
            expect(opened.state['last']).toBe(state);
            for (const name of STORES) expect(opened.cursors[name]?.upto).toBe(cursors[name]);
          }
        }
        const rows = store.read(1, 1000, 1e9);
        expect(rows.map(row => row.body)).toEqual(bodies);
        expect(verifyChain(stream, rows)).toBeNull();
        store.close();
      }),
      { numRuns: 60 },
    );
  });
});

function expected(
  claim: AckClaim,
  stream: string,
  lie: Lie,
  cursors: Readonly<Record<string, number>>,
  committed: number,
): AckVerdict {
  const cursor = cursors[claim.store];
  if (cursor === undefined) return 'unlisted';
  if (claim.stream !== stream) return 'wrongStream';
  if (claim.upto > committed) return 'future';
  if (claim.upto < cursor) return 'stale';
  if (lie === 'head') return 'wrongHead';
  return claim.upto === cursor ? 'repeated' : 'accepted';
}

/** The files exactly as a kill leaves them, WAL not checkpointed; where they are now. */
function crash(store: OutboxStore, path: string): string {
  const image = join(tempDir(), 'edge.db');
  for (const part of ['', '-wal']) if (existsSync(path + part)) copyFileSync(path + part, image + part);
  store.close();
  return image;
}
