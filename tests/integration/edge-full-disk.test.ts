/** A real file system that is really full, under the store and under a whole edge. */
import { rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Alarms } from '#core/messages/alarms';
import type { Health } from '#core/messages/health';
import { recordBodySchema } from '#core/messages/record';
import { BALLAST_BYTES } from '../../edge/outbox/ballast.ts';
import { OutboxStore } from '../../edge/outbox/outbox-store.ts';
import type { PendingBatch, StoreError } from '../../edge/outbox/outbox-types.ts';
import { Sink, startDevice, writeConfig } from '../support/edge-bench.ts';
import { fillUp, mountsMissing, smallDisk } from '../support/full-disk.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { OutboxModel } from '../support/outbox-model.ts';
import { startProgram } from '../support/programs.ts';
import { START_MS, testBody, testChunk, testEvent } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

const MIB = 1024 * 1024;

/** Ten seconds of samples at 100 Hz a batch, so that a small disk is soon full; an event in every tenth. */
function batches(from: number, count: number): PendingBatch[] {
  return Array.from({ length: count }, (_, i) => {
    const seq = from + i;
    const chunk = testChunk(START_MS * 1000 + seq * 1e7, 1000, 100, k => 200 + ((k * 37 + seq) % 90) / 10);
    const events = seq % 10 === 0 ? [testEvent(seq)] : [];
    return { body: JSON.stringify(testBody({ chunk, events })), closedUs: seq, closedUtcMs: 0, state: {} };
  });
}

describe.skipIf(mountsMissing())('a store on a disk that is full', () => {
  function open(dir: string): OutboxStore {
    const store = new OutboxStore({
      path: join(dir, 'edge.db'),
      requiredStores: ['truck'],
      // No reserve: the disk itself has to say no.
      budget: { budgetBytes: null, reserveBytes: 0 },
      monotonicMs: () => 0,
      wallMs: () => 0,
    });
    onTestFinished(() => store.close());
    return store;
  }

  it('goes on recording: the oldest samples give way, nothing else is lost, nothing is changed', () => {
    const dir = smallDisk(24 * MIB);
    const store = open(dir);
    const { stream } = store.open();
    expect(store.stats().ballast).toBe('ready');
    const model = new OutboxModel(stream, ['truck']);
    // Far more than fits: each batch takes some 4 kB.
    for (let from = 1; from <= 9000; from += 20) {
      const more = batches(from, 20);
      model.append(more);
      expect(store.append(more).lastSeq).toBe(model.lastSeq);
    }
    expect(store.stats()).toMatchObject({ thinnedWaiting: true });
    expect(model.problemIn(store.read(1, 1e6, 1e9), (_seq, to) => to === 'thinned')).toBeNull();
    expect(store.reducedFrom(1)).toBeGreaterThan(4000);
    store.close();
    const db = new Database(join(dir, 'edge.db'), { readonly: true });
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
    db.close();
    // And it can be opened, though there is no room for anything.
    const again = open(dir);
    expect(again.open()).toMatchObject({ stream, committedSeq: 9000, quarantine: null });
    const rows = again.read(1, 1e6, 1e9);
    const events = rows.flatMap(({ body }) => recordBodySchema.parse(JSON.parse(body)).events);
    expect(events).toHaveLength(900);
  });

  it('where nothing can give way has the ballast to write on, then says it is full, and goes on when there is room', () => {
    const dir = smallDisk(24 * MIB);
    const store = open(dir);
    store.open();
    const event = (seq: number): PendingBatch => {
      const events = Array.from({ length: 20 }, (_, i) => testEvent(20 * seq + i));
      return { body: JSON.stringify(testBody({ events })), closedUs: seq, closedUtcMs: 0, state: {} };
    };
    let seq = 1;
    for (; seq <= 100; seq++) store.append([event(seq)]);
    const filler = join(dir, 'filler');
    fillUp(filler);
    const full = (): string | null => {
      try {
        store.append([event(seq)]);
        seq += 1;
        return null;
      } catch (error) {
        return (error as StoreError).kind;
      }
    };
    let written = 0;
    while (full() === null) written += event(seq).body.length;
    expect(store.stats().ballast).toBe('released');
    expect(written).toBeGreaterThan(BALLAST_BYTES / 2);
    expect(full()).toBe('full');
    rmSync(filler);
    expect(full()).toBeNull();
    while (store.makeRoom().more);
    expect(store.stats().ballast).toBe('ready');
    expect(store.read(1, 1e6, 1e9)).toHaveLength(seq - 1);
  });
});

describe.skipIf(mountsMissing() || mosquittoMissing)('an edge on a disk that is full', () => {
  it('says so before it costs data, thins what waits, and delivers what is left to the store that comes back', async () => {
    const dir = smallDisk(24 * MIB);
    const broker = await startMosquitto();
    const sink = new Sink(broker.url);
    sink.acknowledges = false;
    const { url } = await startDevice();
    // Days without a link, written before the edge starts.
    const seed = new OutboxStore({
      path: join(dir, 'edge.db'),
      requiredStores: ['truck'],
      budget: { budgetBytes: null, reserveBytes: 0 },
      monotonicMs: () => 0,
      wallMs: () => 0,
    });
    const { stream } = seed.open();
    seed.append(batches(1, 2000));
    seed.close();
    const config = writeConfig(dir, url, broker.url);
    const set = (key: string): string[] => ['--set', `store.reserve_mb=${key}`];
    const room = () => sink.newest<Health>('health')?.store.room;
    const alarm = (key: string) => sink.newest<Alarms>('alarms')?.conditions.find(found => found.key === key);

    let edge = startProgram('girthlog-edge', ['run', '--config', config, ...set('11')]);
    await waitUntil(
      () => alarm('storage:low'),
      () => `the warning; ${JSON.stringify(room())} ${edge.stderr()}`,
    );
    expect(alarm('storage:low')).toMatchObject({ priority: 'medium', cause: 'storage' });
    expect(room()).toMatchObject({ level: 'low', thinned: 0 });
    await edge.stop();

    edge = startProgram('girthlog-edge', ['run', '--config', config, ...set('14')]);
    await waitUntil(
      () => alarm('storage:thinning'),
      () => `the alarm; ${JSON.stringify(room())} ${edge.stderr()}`,
    );
    expect(alarm('storage:thinning')).toMatchObject({ priority: 'high' });
    // A link that is back brings in seconds what would have been thinned in minutes.
    await waitUntil(
      () => (room()?.thinned ?? 0) > 100,
      () => `a hundred batches to be thinned; ${JSON.stringify(room())} ${edge.stderr()}`,
      30_000,
    );
    sink.acknowledges = true;
    await waitUntil(() => sink.committed(stream) > 2000, 'the link to bring everything');
    await waitUntil(() => !alarm('storage:thinning'), 'the alarm to end');
    const records = sink.records(stream);
    const thinned = records.filter(record => record.reduced?.to === 'thinned');
    expect(thinned.length).toBeGreaterThan(100);
    expect(sink.broken + sink.conflicts).toBe(0);
    // Produced = whole + pruned and reported, none missing between them.
    expect(records.map(({ seq }) => seq)).toEqual(records.map((_, i) => i + 1));
    const told = () =>
      sink
        .records(stream)
        .flatMap(({ body }) => (body === '' ? [] : recordBodySchema.parse(JSON.parse(body)).events))
        .filter(({ data }) => data['to'] === 'thinned')
        .reduce((sum, { data }) => sum + Number(data['batches']), 0);
    await waitUntil(
      () => told() >= thinned.length,
      () => `${thinned.length} thinned batches to be told, ${told()} are`,
    );
    expect(await edge.stop()).toBe(0);
    expect(dirname(config)).toBe(dir);
  });
});
