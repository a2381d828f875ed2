/** The sample store with its samples in a real InfluxDB: the common suite, and what only it can show. */

import { join } from 'node:path';
import sqlite from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { EXIT } from '#core/program/program-error';
import { concatChunks } from '#core/sample/chunk';
import { passSamples } from '../../../dashboard/server/export/pass-samples.ts';
import { requireInInflux } from '../../../dashboard/server/projection/influx-covers.ts';
import { InfluxProjection } from '../../../dashboard/server/projection/influx-projection.ts';
import { InfluxSource } from '../../../dashboard/server/projection/influx-source.ts';
import { cursorFile, influxClient } from '../../../dashboard/server/projection/open-influx.ts';
import { ProjectionCursor } from '../../../dashboard/server/projection/projection-cursor.ts';
import { localFeed } from '../../../dashboard/server/projection/record-feed.ts';
import { SamplesAwayError } from '../../../dashboard/server/store/borrow-samples.ts';
import { openForPruning } from '../../../dashboard/server/store/open-for-pruning.ts';
import { StoredSamples } from '../../../dashboard/server/store/stored-samples.ts';
import { influxMissing, startInfluxServer } from '../../support/influx.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { START_MS, testPass } from '../../support/test-records.ts';
import { openStore } from '../../support/test-store.ts';
import { waitUntil } from '../../support/wait-until.ts';
import { RIG } from '../store/store-support.ts';
import { describeSampleStore, recordsOf, second } from './sample-store-contract.ts';

const START_US = START_MS * 1000;
const RANGE = { kind: 'record', fromUs: START_US, toUs: START_US + 100e6 } as const;

async function open({ settles = false } = {}) {
  const server = await startInfluxServer();
  const directory = tempDir();
  const store = openStore(directory);
  const url = new URL(`${server.url}/welds`);
  const cursor = new ProjectionCursor(sqlite(join(directory, cursorFile(url))));
  const { client, database } = await influxClient(url);
  const counts: Record<string, number> = {};
  const projection = new InfluxProjection({
    ...{ client, database, feed: localFeed(store, cursor), now: () => new Date(START_MS) },
    report: (name, _, by = 1) => {
      counts[name] = (counts[name] ?? 0) + by;
    },
  });
  onTestFinished(() => projection.stop());
  projection.start();
  const source = new InfluxSource({ client, database, store, passed: () => cursor.recordId });
  const samples = new StoredSamples(store, () => source);
  const commit = (records: Parameters<typeof store.commitRecords>[0], receivedMs = START_MS): void => {
    store.commitRecords(records, new Date(receivedMs).toISOString());
    while (settles && store.settling.step(START_MS + 86_400_000));
  };
  const caughtUp = () => waitUntil(() => cursor.recordId === store.size().records, 'the projection');
  const put = async (records: Parameters<typeof commit>[0], receivedMs?: number): Promise<void> => {
    commit(records, receivedMs);
    await caughtUp();
  };
  return {
    server,
    directory,
    url,
    store,
    client,
    cursor,
    counts,
    samples,
    commit,
    caughtUp,
    put,
    readFrom: 'influx' as const,
  };
}

describe.skipIf(influxMissing)('with a real server', () => {
  describeSampleStore('InfluxDB', () => open());
  describeSampleStore('InfluxDB, settled in the store', () => open({ settles: true }));
});

const seconds = (count: number, from = 0) => Array.from({ length: count }, (_, i) => second(from + i));

describe.skipIf(influxMissing)('samples in InfluxDB', () => {
  it('lie under few tags, with every time once', async () => {
    const { client, put } = await open();
    await put(recordsOf(seconds(60), { offset: i => -10_000 * Math.floor(i / 10) }));
    const [count] = await client.query<{ n: number }>('SELECT count(record_us) AS n FROM samples');
    expect(count?.n).toBe(6000);
    const tags = await client.query<{ tagKey: string }>('SHOW TAG KEYS FROM samples');
    expect(tags.map(({ tagKey }) => tagKey).sort()).toEqual(['rig', 'site', 'source']);
    const series = await client.query('SHOW SERIES FROM samples');
    expect(series).toHaveLength(1);
  });

  it('go on being recorded while it is away, are read from the store meanwhile, and arrive when it is back', async () => {
    const { server, samples, put, commit, caughtUp, cursor, counts } = await open();
    const records = recordsOf(seconds(100));
    await put(records.slice(0, 40));
    await server.kill();
    commit(records.slice(40));
    await waitUntil(() => (counts['influxUnreachable'] ?? 0) > 0, 'the outage to be noticed');
    expect(cursor.recordId).toBe(40);
    const meanwhile = await samples.raw(RIG, RANGE);
    expect(meanwhile).toMatchObject({ readFrom: 'store', gaps: [], summarised: [] });
    expect(meanwhile!.note).toMatch(/^InfluxDB cannot be read .*store still has/);
    expect(meanwhile!.chunk).toEqual(concatChunks(seconds(100)));
    expect((await samples.overview(RIG, RANGE, { points: 700 })).note).toMatch(/^InfluxDB cannot be read/);
    await server.start();
    await caughtUp();
    const after = await waitUntilRead(samples);
    expect(after.chunk).toEqual(concatChunks(seconds(100)));
  });

  it('that the cursor has not passed come from the store, beside those that it has', async () => {
    const { samples, put, store, server, commit } = await open();
    const records = recordsOf(seconds(100));
    await put(records.slice(0, 50));
    await server.kill();
    commit(records.slice(50));
    await server.start();
    // Before the projection tries again: both places answer for their part.
    const read = await waitUntilRead(samples);
    expect(['both', 'influx']).toContain(read.readFrom);
    expect(read.chunk).toEqual(concatChunks(seconds(100)));
    expect(store.size().records).toBe(100);
  });

  it('stay whole there when the store lets them go; with it away their summaries are shown, and it is said', async () => {
    const { server, samples, put, directory } = await open({ settles: true });
    await put(recordsOf(seconds(100)));
    const { db, pruning } = await openForPruning(join(directory, 'dashboard.sqlite3'));
    onTestFinished(() => void db.close());
    const wish = { beforeMs: START_MS + 3_600_000, keep: 'none', unsealed: true } as const;
    for (const stream of pruning.plan(wish)) for (const _ of pruning.prune(stream, wish));
    const whole = await samples.raw(RIG, RANGE);
    expect(whole).toMatchObject({ readFrom: 'influx', summarised: [], note: null });
    expect(whole!.chunk).toEqual(concatChunks(seconds(100)));
    const close = { kind: 'record', fromUs: START_US, toUs: START_US + 10e6 } as const;
    const before = await samples.overview(RIG, close, { points: 500 });
    expect(before).toMatchObject({ readFrom: 'influx', gaps: [] });
    await server.kill();
    const away = await samples.overview(RIG, close, { points: 500 });
    expect(away.note).toMatch(/cannot be read .*only their summaries can be shown/);
    expect(away.summarised).toEqual([{ fromUs: START_US, toUs: START_US + 10e6 }]);
    expect(away.gaps).toEqual([]);
    expect(Math.max(...away.series[0]!.max)).toBeGreaterThanOrEqual(Math.max(...before.series[0]!.max));
    // Over minutes nothing is missing: that is what summaries are for.
    expect(await samples.overview(RIG, RANGE, { points: 40 })).not.toHaveProperty('note');
    expect((await samples.raw(RIG, RANGE))!.summarised).not.toEqual([]);
  });

  it('that it lost are taken from the store, and the answer says so', async () => {
    const { client, samples, put } = await open();
    await put(recordsOf(seconds(100)));
    await client.query(
      `DELETE FROM samples WHERE time >= ${START_US + 50e6}u AND time < ${START_US + 51e6}u`,
    );
    const read = await samples.raw(RIG, RANGE);
    expect(read!.note).toMatch(/does not hold all samples/);
    expect(read!.chunk).toEqual(concatChunks(seconds(100)));
  });

  it('are in an export of a pass whose samples the store let go; with it away the export is refused', async () => {
    const { server, samples, put, directory, store } = await open({ settles: true });
    await put(recordsOf(seconds(100)));
    const pass = testPass(1, { startUs: START_US + 20e6, endUs: START_US + 60e6 });
    const taken = (from: typeof store) =>
      Array.from(passSamples(pass, from)?.samples() ?? [], ({ tUs, value, quality }) => [
        tUs,
        value('weldingCurrent'),
        quality.join(),
      ]);
    const before = taken(store);
    expect(before.length).toBeGreaterThan(4000);
    expect(await samples.borrow(store, [pass])).toBe(store);
    const { db, pruning } = await openForPruning(join(directory, 'dashboard.sqlite3'));
    onTestFinished(() => void db.close());
    const wish = { beforeMs: START_MS + 3_600_000, keep: 'none', unsealed: true } as const;
    for (const stream of pruning.plan(wish)) for (const _ of pruning.prune(stream, wish));
    expect(taken(store)).toEqual([]);
    expect(taken(await samples.borrow(store, [pass]))).toEqual(before);
    await server.kill();
    await expect(samples.borrow(store, [pass])).rejects.toBeInstanceOf(SamplesAwayError);
  });

  it('let the store go of its own once every one was read there and is the same, and not before', async () => {
    const { client, samples, put, commit, store, cursor, directory, url, server } = await open({
      settles: true,
    });
    const records = recordsOf(seconds(170));
    await put(records.slice(0, 160));
    const { db, sql, pruning } = await openForPruning(join(directory, 'dashboard.sqlite3'));
    onTestFinished(() => void db.close());
    const wish = { beforeMs: START_MS + 3_600_000, keep: 'none', unsealed: true } as const;
    const ask = (reads: 'store' | 'influx' = 'influx') =>
      requireInInflux({
        ...{ sql, pruning, wish, streams: pruning.plan(wish), onProgress: () => {} },
        settings: { data: directory, influx: url.href, samples: reads },
      });
    await expect(ask('store')).rejects.toMatchObject({ exitCode: EXIT.usage });
    await expect(ask()).resolves.toBeUndefined();
    const [row] = await client.query<{ time: { getNanoTime(): string } }>(
      `SELECT record_us FROM samples WHERE record_us = ${START_US + 100e6}`,
    );
    const point = {
      measurement: 'samples',
      tags: { site: RIG.site, rig: RIG.rig, source: 'simulated' },
      timestamp: row!.time.getNanoTime(),
    };
    const current = second(100).columns.weldingCurrent![0]!;
    await client.writePoints([{ ...point, fields: { welding_current_a: current + 0.1 } }]);
    await expect(ask()).rejects.toMatchObject({ exitCode: EXIT.verification });
    await client.writePoints([{ ...point, fields: { welding_current_a: current } }]);
    await expect(ask()).resolves.toBeUndefined();
    await server.kill();
    commit(records.slice(160));
    expect(cursor.recordId).toBeLessThan(store.size().records);
    await expect(ask()).rejects.toMatchObject({ exitCode: EXIT.verification });
    await server.start();
    await waitUntil(() => cursor.recordId === store.size().records, 'the rest');
    await expect(ask()).resolves.toBeUndefined();
    for (const stream of pruning.plan(wish)) for (const _ of pruning.prune(stream, wish));
    expect(pruning.plan(wish)).toEqual([]);
    expect((await samples.raw(RIG, { ...RANGE, toUs: START_US + 170e6 }))!.chunk).toEqual(
      concatChunks(seconds(170)),
    );
  });
});

async function waitUntilRead(samples: StoredSamples) {
  let read = await samples.raw(RIG, RANGE);
  await waitUntil(async () => {
    read = await samples.raw(RIG, RANGE);
    return read!.note === null;
  }, 'InfluxDB to be read');
  return read!;
}
