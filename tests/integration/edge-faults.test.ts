/** Brokers and edges that die: nothing stored is lost, nothing comes twice, no number is used twice. */
import { readdirSync, statSync, truncateSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import type { Alarms } from '#core/messages/alarms';
import type { Assignment } from '#core/messages/assignment';
import type { Live } from '#core/messages/live';
import { recordBodySchema } from '#core/messages/record';
import { readings, Sink, startDevice, writeConfig } from '../support/edge-bench.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { verifyChain } from '../support/verify-chain.ts';
import { waitUntil } from '../support/wait-until.ts';

async function bench() {
  const broker = await startMosquitto();
  const { device, url } = await startDevice();
  const sink = new Sink(broker.url);
  const dir = tempDir();
  const config = writeConfig(dir, url, broker.url);
  const start = () => startProgram('girthlog-edge', ['run', '--config', config]);
  await waitUntil(() => sink.connected, 'the store to connect');
  return { broker, device, sink, dir, start };
}

const ASSIGNMENT: Assignment = {
  origin: 'simulated',
  id: 'as-1',
  at: '2026-06-01T08:00:00.000Z',
  author: 'person-1',
  work: {
    joint: 'J-0101',
    side: 'A',
    pass: 'root',
    procedureId: 'example-610',
    procedureRevision: 1,
    outsideDiameterMm: 610,
    startDegrees: 0,
  },
};

describe.skipIf(mosquittoMissing)('when something dies', () => {
  it('a broker that is killed and comes back empty costs nothing, and the order stays', async () => {
    const { broker, device, sink, start } = await bench();
    const edge = start();
    for (let round = 1; round <= 3; round++) {
      const before = sink.kept.size;
      await waitUntil(
        () => sink.kept.size >= before + 5,
        () => `records in round ${round}; ${edge.stderr()}`,
      );
      await broker.kill();
      const sent = device.sent;
      await waitUntil(() => device.sent >= sent + 40, 'readings while the broker is gone');
      await broker.start();
      await waitUntil(
        () => sink.kept.size >= before + 12,
        () => `the backlog of round ${round}; ${edge.stderr()}`,
      );
    }
    device.silence();
    await waitUntil(() => sink.newest<Live>('live')?.buffer.waiting === 0, 'everything taken over');
    expect(await edge.stop()).toBe(0);
    const [stream = ''] = sink.streams();
    const records = sink.records(stream);
    expect(verifyChain(stream, records)).toBeNull();
    const values = readings(records);
    values.slice(1).forEach((value, i) => {
      expect(value.steps).toBe((values[i]!.steps + 1) % 140);
    });
    expect(sink.conflicts + sink.broken).toBe(0);
  });

  it('an edge killed again and again goes on with its numbers; no number has two contents', async () => {
    const { sink, start } = await bench();
    for (let round = 1; round <= 4; round++) {
      const before = sink.kept.size;
      const edge = start();
      await waitUntil(
        () => sink.kept.size >= before + 6,
        () => `records in round ${round}; ${edge.stderr()}`,
      );
      await edge.kill();
    }
    const edge = start();
    const before = sink.kept.size;
    await waitUntil(() => sink.kept.size >= before + 3, 'records');
    expect(await edge.stop()).toBe(0);
    expect(sink.streams()).toHaveLength(1);
    const [stream = ''] = sink.streams();
    const records = sink.records(stream);
    expect(verifyChain(stream, records)).toBeNull();
    expect(sink.conflicts + sink.broken).toBe(0);
    const times = readings(records).map(({ tUs }) => tUs);
    times.slice(1).forEach((tUs, i) => {
      expect(tUs).toBeGreaterThan(times[i]!);
    });
    const ids = records.flatMap(record =>
      recordBodySchema.parse(JSON.parse(record.body)).events.map(({ id }) => id),
    );
    expect(new Set(ids).size).toBe(ids.length);
  });

  it('an assignment outlives the edge and the broker that carried it', async () => {
    const { broker, sink, start } = await bench();
    const edge = start();
    await waitUntil(() => sink.newest('live'), 'live');
    await sink.say('assignment', null, ASSIGNMENT);
    const joint = () => sink.newest<Live>('live')?.assignment?.joint;
    await waitUntil(
      () => joint() === 'J-0101',
      () => `the assignment to be taken; ${edge.stderr()}`,
    );
    await edge.kill();
    await broker.kill();
    // Comes back without a single retained message.
    await broker.start();
    await waitUntil(() => sink.connected, 'the store to come back');
    sink.forget();
    const again = start();
    await waitUntil(
      () => joint() === 'J-0101',
      () => `the assignment to be known; ${again.stderr()}`,
    );
    // Said again, as a retained message is: no second entry.
    await sink.say('assignment', null, ASSIGNMENT);
    await waitUntil(() => again.stderr().includes('assignmentHeld'), 'the repetition to be noticed');
    await sink.say('assignment', null, { ...ASSIGNMENT, id: 'as-2', work: null });
    await waitUntil(() => sink.newest<Live>('live')?.assignment === null, 'nothing assigned');
    const stream = sink.streams()[0] ?? '';
    const assigned = () =>
      sink
        .records(stream)
        .flatMap(record => recordBodySchema.parse(JSON.parse(record.body)).events)
        .filter(({ type }) => type === 'assigned').length;
    await waitUntil(() => assigned() === 2, 'both entries on record');
  });

  it('a batch that rots while the edge runs is never sent: the edge ends with 75 and its next start begins a new stream', async () => {
    const { sink, dir, start } = await bench();
    sink.acknowledges = false;
    const edge = start();
    await waitUntil(() => sink.kept.size >= 5, 'records');
    const db = new Database(join(dir, 'edge.db'));
    db.prepare("UPDATE batch SET body = replace(body, 'simulated', 'real') WHERE seq = 1").run();
    db.close();
    // Nobody acknowledged: it is read again to be sent again.
    expect(await edge.exited).toBe(75);
    expect(edge.stderr()).toContain('batch 1 does not match its hash');
    expect(sink.broken).toBe(0);
    const again = start();
    await waitUntil(
      () => sink.streams().length === 2,
      () => `a new stream; ${again.stderr()}`,
    );
    expect(readdirSync(dir).some(name => name.startsWith('edge.db.quarantine-'))).toBe(true);
  });

  it('a damaged store is moved aside by itself, recording goes on, and people are told', async () => {
    const { sink, dir, start } = await bench();
    const edge = start();
    await waitUntil(() => sink.kept.size >= 5, 'records');
    await edge.stop();
    const [first = ''] = sink.streams();
    const file = join(dir, 'edge.db');
    truncateSync(file, Math.floor(statSync(file).size / 2));
    const again = start();
    await waitUntil(
      () => sink.streams().length === 2,
      () => `a new stream; ${again.stderr()}`,
    );
    const second = sink.streams().find(stream => stream !== first) ?? '';
    await waitUntil(() => sink.committed(second) >= 5, 'records of the new stream');
    expect(readdirSync(dir).some(name => name.startsWith('edge.db.quarantine-'))).toBe(true);
    expect(verifyChain(second, sink.records(second))).toBeNull();
    const alarms = await waitUntil(() => {
      const newest = sink.newest<Alarms>('alarms');
      return newest?.conditions.length ? newest : null;
    }, 'an alarm');
    expect(alarms.conditions[0]).toMatchObject({ cause: 'storage', priority: 'medium' });
  });
});
