/** Files that rot or are mistreated: damage is found, moved aside by itself, and recording goes on. */
import {
  copyFileSync,
  existsSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { tempDir } from '../support/temp-dir.ts';
import { verifyChain } from '../support/verify-chain.ts';
import { waitUntil } from '../support/wait-until.ts';
import { startIdleEdge } from './harness/idle-edge.ts';
import { type FaultRandom, faultTest, WHOLE_TABLE } from './harness/random-test.ts';
import { makeStation } from './harness/station.ts';
import { type EdgeStore, newestCommitted, readEdgeStore } from './harness/stores.ts';

const PARTS = ['', '-wal', '-shm'] as const;

/** A store with batches that nobody has taken over. Killed, it has part of them in its write-ahead log only. */
async function recorded(seed: number, end: 'stopped' | 'killed'): Promise<string> {
  const station = await makeStation({ seed, rateHz: 100 });
  for (const last of end === 'killed' ? [false, true] : [false]) {
    const edge = station.startEdge();
    const before = station.committed();
    await waitUntil(
      () => station.committed() >= before + 30,
      () => `batches; ${edge.stderr()}`,
    );
    await (last ? edge.kill() : edge.stop());
  }
  await station.rig.stop();
  return station.edgeFile;
}

function copyOf(file: string): string {
  const copy = join(tempDir(), 'edge.db');
  for (const part of PARTS) if (existsSync(file + part)) copyFileSync(file + part, copy + part);
  return copy;
}

function flipBit(file: string, random: FaultRandom, from = 0): void {
  const bytes = readFileSync(file);
  const at = random.whole(from, bytes.length - 1);
  bytes[at] = bytes[at]! ^ (1 << random.whole(0, 7));
  writeFileSync(file, bytes);
}

/** What a reader of the file gets; null where it cannot be read at all. */
function readOrNull(file: string): EdgeStore | null {
  try {
    return readEdgeStore(file);
  } catch {
    return null;
  }
}

const movedAside = (file: string): string[] =>
  readdirSync(join(file, '..')).filter(name => name.startsWith('edge.db.quarantine-'));

/** Why the store was moved aside, as the log says it: other events have reasons too, and a reason may quote a name. */
function reasonOf(stderr: string): string {
  const line = stderr.split('\n').find(one => one.includes('"event":"storeQuarantined"'));
  return line === undefined ? stderr : (JSON.parse(line) as { reason: string }).reason;
}

describe('one flipped bit', () => {
  faultTest(
    'in the file of the edge: no changed batch is taken for a true one',
    { seeds: 4, timeoutMs: 600_000 },
    async random => {
      const base = await recorded(random.seed, 'stopped');
      const truth = readEdgeStore(base);
      const found = { data: 0, other: 0 };
      for (let flip = 0; flip < (WHOLE_TABLE ? 100 : 12); flip++) {
        const file = copyOf(base);
        flipBit(file, random);
        const changed = JSON.stringify(readOrNull(copyOf(file))?.batches) !== JSON.stringify(truth.batches);
        const edge = await startIdleEdge(file);
        await edge.kill();
        const aside = movedAside(file);
        if (changed) {
          expect(aside.length, `a changed batch passed: ${edge.stderr()}`).toBeGreaterThan(0);
          // Whoever looks for it is told where: a batch by number, or SQLite's own word for it.
          expect(reasonOf(edge.stderr())).toMatch(/batch \d+|malformed|not a database|disk image|stream|SQL/);
          found.data += 1;
        } else {
          const now = readEdgeStore(file);
          if (aside.length === 0) expect(now.batches.slice(0, truth.batches.length)).toEqual(truth.batches);
          found.other += 1;
        }
      }
      expect(found.data).toBeGreaterThan(0);
    },
  );

  faultTest(
    'in the write-ahead log after a kill: what SQLite drops is missed at the next start, and no number is given twice',
    { seeds: 10 },
    async random => {
      const station = await makeStation({ seed: random.seed, rateHz: 100 });
      const truck = await station.startTruck();
      let edge = station.startEdge();
      await waitUntil(
        () => station.taken() >= 30,
        () => `batches at the truck; ${edge.stderr()}`,
      );
      await edge.kill();
      const kept = station.taken();
      const wal = `${station.edgeFile}-wal`;
      flipBit(wal, random, Math.floor(statSync(wal).size / 2));
      const left = newestCommitted(copyOf(station.edgeFile));
      edge = station.startEdge();
      if (left < kept) {
        // SQLite drops everything from the flipped frame on; the file beside the store knows better.
        await waitUntil(
          () => edge.stderr().includes('storeQuarantined'),
          () => `the lost batches to be noticed; ${edge.stderr()}`,
        );
      }
      // Recording goes on either way.
      const before = newestCommitted(station.edgeFile);
      await waitUntil(
        () => newestCommitted(station.edgeFile) > before + 3,
        () => `the edge to record; ${edge.stderr()}`,
      );
      expect(await truck.counter('identityConflict')).toBe(0);
      await station.rig.stop();
      await edge.stop();
      const now = readEdgeStore(station.edgeFile);
      expect(verifyChain(now.stream, now.batches)).toBeNull();
    },
  );
});

describe('a store that was mistreated', () => {
  /** What is done to the copy of a store, and whether it can be read afterwards. */
  const cases: readonly (readonly [string, (file: string, other: string) => void])[] = [
    ['cut in half', file => truncateSync(file, Math.floor(statSync(file).size / 2))],
    ['cut to less than a page', file => truncateSync(file, 100)],
    ['emptied', file => truncateSync(file, 0)],
    ['with a write-ahead log of zeros', file => writeFileSync(`${file}-wal`, Buffer.alloc(64 * 1024))],
    ['without its -shm', file => rmSync(`${file}-shm`, { force: true })],
    ['without its write-ahead log', file => rmSync(`${file}-wal`, { force: true })],
    [
      'with the write-ahead log of another store',
      (file, other) => copyFileSync(`${other}-wal`, `${file}-wal`),
    ],
    ['with text in its place', file => writeFileSync(file, 'not a database, '.repeat(1000))],
  ];

  it('starts by itself in every case: as it was, or moved aside with a new stream in its place', async () => {
    const [base, other] = await Promise.all([recorded(1, 'killed'), recorded(2, 'killed')]);
    const truth = readEdgeStore(copyOf(base));
    for (const [what, mistreat] of cases) {
      const file = copyOf(base);
      mistreat(file, other);
      const readable = readOrNull(copyOf(file));
      const edge = await startIdleEdge(file).catch((error: Error) => {
        throw new Error(`${what}: ${error.message}`);
      });
      await edge.stop();
      const now = readEdgeStore(file);
      if (now.stream === truth.stream) {
        // What SQLite can still read of it is true, and stays; what follows is new.
        const left = readable?.batches.length ?? 0;
        expect(shared(readable ?? now, truth), what).toBe(left);
        expect(shared(now, truth), what).toBeGreaterThanOrEqual(left);
        expect(verifyChain(now.stream, now.batches), what).toBeNull();
      } else if (what !== 'emptied') expect(movedAside(file), what).not.toEqual([]);
    }
  });
});

/** How far two stores have the same batches. */
function shared(one: EdgeStore, other: EdgeStore): number {
  const differs = one.batches.findIndex(({ hash }, i) => other.batches[i]?.hash !== hash);
  return differs === -1 ? one.batches.length : differs;
}
