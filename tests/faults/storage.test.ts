/** Disks that are slow, full or broken under the edge: nothing stored is lost, and people are told. */
import { execFileSync } from 'node:child_process';
import { rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type { RunningProgram } from '../support/programs.ts';
import { waitUntil } from '../support/wait-until.ts';
import { type BadDisk, compilerMissing, type DiskFault, makeBadDisk } from './harness/bad-disk.ts';
import { makeLoopDisk, makeSmallDisk, noMounts } from './harness/loop-disk.ts';
import { afterSamples } from './harness/moment.ts';
import { faultTest, WHOLE_TABLE } from './harness/random-test.ts';
import { type Heard, makeStation, type Station } from './harness/station.ts';

interface Bench extends Station {
  readonly heard: Heard;
}

async function bench(seed: number, edgeDir?: string): Promise<Bench> {
  const station = await makeStation({ seed, rateHz: 100, ...(edgeDir ? { edgeDir } : {}) });
  await station.startTruck();
  return { ...station, heard: await station.listen() };
}

async function records(station: Station, edge: RunningProgram, batches = 5): Promise<void> {
  const before = station.committed();
  await waitUntil(
    () => station.committed() >= before + batches,
    () => `the edge to record; ${edge.stderr().slice(-1500)}`,
    40_000,
  );
}

async function alarmed(heard: Heard, cause: string, edge: RunningProgram): Promise<void> {
  await waitUntil(
    () => heard.alarms().some(condition => condition.cause === cause),
    () => `the alarm ${cause}; ${JSON.stringify(heard.alarms())} ${edge.stderr().slice(-1500)}`,
    20_000,
  );
}

async function books(station: Station, edge: RunningProgram) {
  await station.rig.stop();
  expect(await edge.stop()).toBe(0);
  const last = station.startEdge();
  await station.allTaken(() => last);
  const found = await station.account();
  expect(found.delivered).toEqual(found.stored);
  expect(found.rejected).toBe(0);
  return found;
}

function badDisk(fault: DiskFault): BadDisk {
  return makeBadDisk('edge.db', fault);
}

describe.skipIf(compilerMissing)('a memory card', () => {
  it('that is slow and stalls for seconds: no sample is lost, and the lag is shown', async () => {
    const card = badDisk({ SYNC_MS: 30, STALL_MS: 3000, STALL_EVERY: 15 });
    const station = await bench(1);
    const edge = station.startEdge(card.env);
    await records(station, edge);
    card.on();
    await alarmed(station.heard, 'storage', edge);
    expect(station.heard.live()?.buffer.recording).toBe('lagging');
    await afterSamples(station.rig, WHOLE_TABLE ? 12_000 : 500);
    card.off();
    await waitUntil(() => station.heard.live()?.buffer.recording === 'ok', 'the lag to be over');
    const found = await books(station, edge);
    expect(found.holes).toEqual([]);
  }, 400_000);

  it('that takes nothing for a while: it is tried again, an alarm says so, and nothing stored is lost', async () => {
    const card = badDisk({ WRITE_ENOSPC: 1 });
    const station = await bench(1);
    const edge = station.startEdge(card.env);
    await records(station, edge);
    const stored = station.committed();
    card.on();
    await alarmed(station.heard, 'recordingFailed', edge);
    expect(station.committed()).toBeGreaterThanOrEqual(stored);
    await afterSamples(station.rig, 300);
    card.off();
    await records(station, edge);
    await waitUntil(() => station.heard.alarms().length === 0, 'the alarm to end');
    const found = await books(station, edge);
    // What came meanwhile waited in memory.
    expect(found.holes).toEqual([]);
  });

  faultTest(
    'that fails in a write or a sync: the edge ends with 75, and the next goes on without using a number twice',
    { seeds: 10 },
    async random => {
      const station = await bench(random.seed);
      for (const fault of [{ SYNC_EIO: 1 }, { WRITE_EIO: 1 }] as const) {
        const card = badDisk(fault);
        const edge = station.startEdge(card.env);
        await records(station, edge);
        await afterSamples(station.rig, random.whole(1, 100));
        card.on();
        expect(await edge.exited, edge.stderr().slice(-1500)).toBe(75);
      }
      const edge = station.startEdge();
      await records(station, edge);
      const found = await books(station, edge);
      expect(found.holes.length).toBeLessThanOrEqual(2);
    },
  );
});

describe.skipIf(noMounts())('a disk of its own', () => {
  it('fills up by other files: recording is tried again until there is room, nothing stored is lost', async () => {
    const dir = makeSmallDisk(24 * 1024 * 1024);
    const station = await bench(1, dir);
    const edge = station.startEdge();
    await records(station, edge);
    const filler = join(dirname(station.edgeFile), 'filler');
    fill(filler);
    await alarmed(station.heard, 'storage', edge);
    rmSync(filler);
    await records(station, edge);
    const found = await books(station, edge);
    expect(found.holes).toEqual([]);
    const db = new Database(station.edgeFile, { readonly: true });
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
    db.close();
  });

  it('turns read-only, as ext4 does after an error: the edge ends, says why, and goes on when it is writable', async () => {
    const disk = makeLoopDisk();
    const station = await bench(1, disk.dir);
    let edge = station.startEdge();
    await records(station, edge);
    await edge.kill();
    disk.remountReadOnly();
    edge = station.startEdge();
    expect(await edge.exited).toBe(6);
    expect(edge.stderr()).toMatch(/the store .* cannot be written: the file system is mounted read-only/);
    execFileSync('mount', ['-o', 'remount,rw', disk.dir]);
    edge = station.startEdge();
    await records(station, edge);
    const found = await books(station, edge);
    expect(found.holes.length).toBeLessThanOrEqual(1);
  });
});

/** Takes every byte that is left. */
function fill(file: string): void {
  const block = Buffer.alloc(64 * 1024);
  for (let written = 0; written < 4096; written++) {
    try {
      writeFileSync(file, block, { flag: 'a' });
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOSPC') return;
      throw error;
    }
  }
  throw new Error('this disk has no end');
}
