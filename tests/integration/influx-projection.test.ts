/** The projection against a real InfluxDB: everything once, through outages and points it refuses. */
import sqlite from 'better-sqlite3';
import { InfluxDB } from 'influx';
import { describe, expect, onTestFinished, test } from 'vitest';
import { InfluxProjection } from '../../dashboard/server/projection/influx-projection.ts';
import { ProjectionCursor } from '../../dashboard/server/projection/projection-cursor.ts';
import { localFeed } from '../../dashboard/server/projection/record-feed.ts';
import { influxMissing, startInfluxServer } from '../support/influx.ts';
import { START_MS, STREAM, testBody, testChain, testChunk, testPass } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

describe.skipIf(influxMissing)('projection to InfluxDB', () => {
  function projection(url: string, bodies: string[]) {
    const client = new InfluxDB({
      host: '127.0.0.1',
      port: Number(new URL(url).port),
      database: 'welds',
      pool: { maxRetries: 0 },
    });
    const cursor = new ProjectionCursor(sqlite(':memory:'));
    const counts: Record<string, number> = {};
    const running = new InfluxProjection({
      client,
      database: 'welds',
      feed: localFeed(
        {
          recordsAfter: (id, limit) =>
            bodies
              .slice(id, id + limit)
              .map((body, i) => ({ id: id + i + 1, body, stream: STREAM, ordinal: 0 })),
        },
        cursor,
      ),
      report: (name, _, by = 1) => {
        counts[name] = (counts[name] ?? 0) + by;
      },
      now: () => new Date(START_MS),
    });
    onTestFinished(() => running.stop());
    running.start();
    const count = async (): Promise<number> => {
      const rows = await client.query<{ n: number }>('SELECT count(welding_current_a) AS n FROM samples');
      return rows[0]?.n ?? 0;
    };
    return { client, cursor, counts, count, bodies };
  }

  test('every sample once; an outage is caught up from the cursor', async () => {
    const server = await startInfluxServer();
    const bodies = testChain(120).map(record => record.body);
    const { count, cursor, counts } = projection(server.url, bodies);
    await waitUntil(() => cursor.recordId === 120, 'the first 120 records');
    expect(await count()).toBe(12_000);
    await server.kill();
    bodies.push(
      ...testChain(180)
        .slice(120)
        .map(record => record.body),
    );
    await waitUntil(() => (counts['influxUnreachable'] ?? 0) > 0, 'the outage to be noticed');
    expect(cursor.recordId).toBeLessThan(180);
    await server.start();
    await waitUntil(() => cursor.recordId === 180, 'the rest');
    expect(await count()).toBe(18_000);
    expect(cursor.rejected).toBe(0);
  });

  test('a point the server refuses is set aside with its reason, and no good one waits for it', async () => {
    const server = await startInfluxServer();
    const bodies: string[] = [];
    const { client, count, cursor } = projection(server.url, bodies);
    await waitUntil(async () => (await client.getDatabaseNames()).includes('welds'), 'the database');
    // Somebody else's text in a field of ours: from now on its numbers conflict.
    await client.writeMeasurement(
      'passes',
      [{ fields: { arc_time_s: 'text' }, timestamp: new Date(START_MS + 1) }],
      { precision: 'ms' },
    );
    const chunk = testChunk(START_MS * 1000);
    bodies.push(JSON.stringify(testBody({ chunk, passes: [testPass(1)] })), 'not a record');
    await waitUntil(() => cursor.recordId === 2, 'both records');
    expect(await count()).toBe(100);
    expect(cursor.rejected).toBe(2);
  });

  test('what people typed arrives as they typed it', async () => {
    const server = await startInfluxServer();
    const joint = 'J "1", a=b \\ ü';
    const body = JSON.stringify(testBody({ passes: [testPass(1, { joint })] }));
    const { client, cursor } = projection(server.url, [body]);
    await waitUntil(() => cursor.recordId === 1, 'the record');
    const rows = await client.query<{ joint: string }>('SELECT joint FROM passes');
    expect(rows[0]?.joint).toBe(joint);
  });
});
