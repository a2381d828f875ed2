/** One edge, a real Mosquitto, a device on TCP and a store that commits. */
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { alarmsSchema } from '#core/messages/alarms';
import { eventSchema } from '#core/messages/event';
import { type Health, healthSchema } from '#core/messages/health';
import { infoSchema } from '#core/messages/info';
import { type Live, liveSchema } from '#core/messages/live';
import { type RecordMessage, recordBodySchema } from '#core/messages/record';
import type { Status } from '#core/messages/status';
import { ADDRESS, readings, recording, Sink, startDevice, writeConfig } from '../support/edge-bench.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { verifyChain } from '../support/verify-chain.ts';
import { waitUntil } from '../support/wait-until.ts';

async function bench(options: { acknowledges?: boolean } = {}) {
  const broker = await startMosquitto();
  const { device, url } = await startDevice();
  const sink = new Sink(broker.url);
  sink.acknowledges = options.acknowledges ?? true;
  const config = writeConfig(tempDir(), url, broker.url);
  const start = () => startProgram('girthlog-edge', ['run', '--config', config]);
  await waitUntil(() => sink.connected, 'the store to connect');
  return { broker, device, sink, config, start };
}

const only = (sink: Sink): string => {
  expect(sink.streams()).toHaveLength(1);
  return sink.streams()[0]!;
};

describe.skipIf(mosquittoMissing)('an edge with Mosquitto', () => {
  it('delivers every reading of the device once, in order, to the last bit, and says what it is', async () => {
    const { device, sink, start } = await bench();
    const edge = start();
    await waitUntil(
      () => sink.kept.size >= 15,
      () => `records; ${edge.stderr()}`,
    );
    device.silence();
    expect(await edge.stop()).toBe(0);
    const stream = only(sink);
    await waitUntil(() => sink.newest<Status>('status')?.state === 'stopped', 'stopped');

    const records = sink.records(stream);
    expect(verifyChain(stream, records)).toBeNull();
    expect(sink.broken + sink.conflicts).toBe(0);
    const values = readings(records);
    expect(values.length).toBeGreaterThan(50);
    values.slice(1).forEach((value, i) => {
      expect(value.steps).toBe((values[i]!.steps + 1) % 140);
      expect(value.tUs - values[i]!.tUs).toBe(20_000);
    });

    const parsed = (kind: string) => sink.newest<unknown>(kind);
    expect(infoSchema.parse(parsed('info'))).toMatchObject({
      ...ADDRESS,
      stream,
      source: { format: 'text' },
      samplePeriodS: 0.02,
      referenceRadiusMm: 310,
      requiredStores: ['truck'],
    });
    expect(healthSchema.parse(parsed('health')).stream).toBe(stream);
    expect(alarmsSchema.parse(parsed('alarms')).conditions).toEqual([]);
    expect(eventSchema.parse(parsed('event')).id.startsWith(`${stream}:`)).toBe(true);
    const live = liveSchema.parse(parsed('live'));
    expect(live).toMatchObject({ origin: 'simulated', source: { state: 'streaming' }, arc: 'off' });
  });

  it('says at most ten live summaries a second, also when no data arrives, and then shows no value', async () => {
    const { device, sink, start } = await bench();
    start();
    await waitUntil(() => sink.newest<Live>('live')?.values.arcVoltage, 'a voltage');
    device.silence();
    const live = await waitUntil(() => {
      const newest = sink.newest<Live>('live');
      return newest?.arc === 'noData' ? newest : null;
    }, 'no data');
    expect(Object.values(live.values).every(value => value === null)).toBe(true);
    expect(live.source.state).toBe('stalled');
    const stamps = sink.messages
      .filter(({ topic }) => topic.endsWith('/live'))
      .map(({ payload }) => (JSON.parse(payload.toString()) as Live).at);
    const seconds = (Date.parse(stamps.at(-1)!) - Date.parse(stamps[0]!)) / 1000;
    expect(stamps.length).toBeLessThanOrEqual(seconds * 10 + 2);
  });

  it('releases nothing because the broker confirmed it, and everything once the store has committed', async () => {
    const { sink, start } = await bench({ acknowledges: false });
    start();
    const waiting = () => sink.newest<Live>('live')?.buffer.waiting ?? 0;
    await waitUntil(() => waiting() >= 20 && sink.duplicates > 0, 'batches to wait and to be sent again');
    expect(sink.records(only(sink))[0]?.seq).toBe(1);
    sink.acknowledges = true;
    await waitUntil(() => waiting() <= 2, 'the backlog to be taken over');
    expect(sink.conflicts + sink.broken).toBe(0);
  });

  it('ignores forged, future, stale, foreign and unlisted acknowledgements, and counts them', async () => {
    const { device, sink, start } = await bench({ acknowledges: false });
    const edge = start();
    await waitUntil(() => sink.kept.size >= 10, 'records');
    const stream = only(sink);
    await sink.say('ack', 'truck', sink.ack(stream, { upto: 5 }));
    await waitUntil(() => edge.stderr().includes('"ackAccepted"'), 'the true one');
    await sink.say('ack', 'truck', sink.ack(stream, { upto: 8, head: 'e'.repeat(64) }));
    await sink.say('ack', 'truck', sink.ack(stream, { upto: 1_000_000 }));
    await sink.say('ack', 'truck', sink.ack(stream, { upto: 3, head: 'e'.repeat(64) }));
    await sink.say('ack', 'truck', sink.ack('f'.repeat(32), { upto: 8 }));
    await sink.say('ack', 'stranger', sink.ack(stream, { upto: 8, store: 'stranger' }));
    await sink.say('ack', 'truck', sink.ack(stream, { upto: 8, store: 'stranger' }));
    await sink.say('ack', 'truck', '{"upto":8}');
    await sink.say('ack', 'truck', 'not json \u0000');
    await waitUntil(() => edge.stderr().includes('it is not JSON'), 'the last of them to be refused');
    // A source that falls silent makes the edge tell its health at once.
    device.silence();
    await waitUntil(() => {
      const health = sink.newest<Health>('health');
      if (!health) return null;
      const { counters, cursors } = health;
      if (counters['messageInvalid'] !== 3) return null;
      expect(counters).toMatchObject({
        ackAccepted: 1,
        ackWrongHead: 1,
        ackFuture: 1,
        ackStale: 1,
        ackWrongStream: 1,
        ackUnlisted: 1,
      });
      expect(cursors).toEqual({ truck: 5 });
      return true;
    }, 'the counters in health');
    const kinds = sink
      .records(stream)
      .flatMap(record => (JSON.parse(record.body) as { events: { type: string; text: string }[] }).events)
      .filter(event => event.type === 'storage');
    expect(kinds.length).toBeGreaterThanOrEqual(2);
  });

  it('sends again what a store has lost, and says so', async () => {
    const { sink, start } = await bench();
    const edge = start();
    await waitUntil(() => sink.kept.size >= 10, 'records');
    const stream = only(sink);
    sink.acknowledges = false;
    await waitUntil(() => (sink.newest<Health>('health')?.cursors['truck'] ?? 0) > 4, 'the cursor in health');
    const { duplicates } = sink;
    // Its disk is a copy of an hour ago, as it were.
    await sink.say('ack', 'truck', sink.ack(stream, { upto: 3 }));
    await waitUntil(() => edge.stderr().includes('"ackRewound"'), 'the cursor to go back');
    await waitUntil(() => sink.duplicates >= duplicates + 5, 'records to come again');
    sink.acknowledges = true;
    const told = () =>
      sink
        .records(stream)
        .flatMap(record => recordBodySchema.parse(JSON.parse(record.body)).events)
        .find(event => event.text.includes('has lost batches 4 to'));
    expect((await waitUntil(told, 'the event'))?.data).toMatchObject({ store: 'truck', upto: 3, reduced: 0 });
    expect(sink.conflicts + sink.broken).toBe(0);
  });

  it('records a whole file as fast as it can be read, and nothing of it twice', async () => {
    const { sink, broker } = await bench();
    const dir = tempDir();
    const frames = 30_000;
    const file = join(dir, 'recording.txt');
    writeFileSync(file, recording(frames));
    const config = writeConfig(dir, `file://${file}?pace=fast`, broker.url);
    const edge = startProgram('girthlog-edge', ['run', '--config', config]);
    await waitUntil(
      () => sink.newest<Health>('health')?.source === 'ended',
      () => `the end; ${edge.stderr()}`,
    );
    expect(await edge.stop()).toBe(0);
    const db = new Database(join(dir, 'edge.db'), { readonly: true });
    const rows = db
      .prepare('SELECT stream, seq, prev, hash, body FROM batch ORDER BY seq')
      .all() as RecordMessage[];
    db.close();
    expect(verifyChain(rows[0]!.stream, rows)).toBeNull();
    const values = readings(rows);
    expect(values).toHaveLength(frames);
    values.slice(1).forEach((value, i) => {
      expect(value.tUs - values[i]!.tUs).toBe(20_000);
    });
  });

  it('stops within 5 s, its last batch kept, also when the broker hangs', async () => {
    const { sink, broker, config, start } = await bench();
    const edge = start();
    await waitUntil(() => sink.kept.size >= 3, 'records');
    broker.pause();
    const began = Date.now();
    expect(await edge.stop()).toBe(0);
    expect(Date.now() - began).toBeLessThan(5000);
    const db = new Database(join(dirname(config), 'edge.db'), { readonly: true });
    // Behind the last batch only the checkpoint that signs it.
    const last = db.prepare('SELECT body FROM batch ORDER BY seq DESC LIMIT 2').pluck().all() as string[];
    db.close();
    const [checkpoint, batch] = last.map(body => recordBodySchema.parse(JSON.parse(body)));
    expect(checkpoint?.seals?.map(({ seal }) => seal['kind'])).toEqual(['checkpoint']);
    expect(checkpoint?.samples).toBeNull();
    const { events } = batch!;
    expect(events.some(({ type, data }) => type === 'sourceState' && data['state'] === 'ended')).toBe(true);
  });

  it('leaves its last will when it is killed and says goodbye when it is stopped', async () => {
    const { sink, start } = await bench();
    const state = () => sink.newest<Status>('status')?.state;
    const edge = start();
    await waitUntil(() => state() === 'ready', 'ready');
    await edge.kill();
    await waitUntil(() => state() === 'lost', 'the will');
    const again = start();
    await waitUntil(() => state() === 'ready', 'ready again');
    const began = Date.now();
    expect(await again.stop()).toBe(0);
    expect(Date.now() - began).toBeLessThan(5000);
    await waitUntil(() => state() === 'stopped', 'stopped');
  });
});
