/** The built dashboard against real brokers: records, acks, entries, live stream, bad input. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Ack } from '#core/messages/ack';
import type { Person } from '#core/messages/api';
import type { AssignmentEntry, System } from '#core/messages/api-lists';
import type { Assignment } from '#core/messages/assignment';
import type { ProcedureMessage } from '#core/messages/procedure-message';
import { CHAIN_START } from '#core/record/chain';
import { startDashboard } from '../support/dashboard-program.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { readEvents } from '../support/sse-reader.ts';
import {
  EXAMPLE_PROCEDURE,
  OTHER_STREAM,
  STREAM,
  seal,
  testBody,
  testChain,
  testEvent,
  testLive,
  testPass,
} from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

const RIG = 'girthlog/1/spread-1/rig-a';
const ACK = `${RIG}/ack/truck`;
const WORK = {
  joint: 'J-0001',
  side: 'A' as const,
  pass: 'fill 1',
  procedureId: 'example-610',
  procedureRevision: 1,
  outsideDiameterMm: 610,
  startDegrees: 0,
};

async function withBroker(kind: 'embedded' | 'mosquitto') {
  const broker = kind === 'mosquitto' ? await startMosquitto() : null;
  const dashboard = await startDashboard(broker ? { args: ['--broker', broker.url] } : {});
  await waitUntil(
    async () => (await dashboard.json<{ warnings: string[] }>('/readyz')).warnings.length === 0,
    'the broker connection',
  );
  return { broker, dashboard, url: broker?.url ?? dashboard.mqtt };
}

async function withProcedure(dashboard: Awaited<ReturnType<typeof startDashboard>>): Promise<string> {
  const { id } = await dashboard.post<Person>('/api/v1/people', {
    name: 'A. Example',
    roles: ['weldSetter'],
  });
  await dashboard.post('/api/v1/procedures', { author: id, procedure: EXAMPLE_PROCEDURE });
  return id;
}

for (const kind of ['embedded', 'mosquitto'] as const) {
  describe.skipIf(kind === 'mosquitto' && mosquittoMissing)(`with the ${kind} broker`, () => {
    it('acknowledges what is committed without a hole, whatever the order and however often it comes', async () => {
      const { dashboard, url } = await withBroker(kind);
      const edge = await mqttClient(url, [`${RIG}/ack/+`]);
      const records = testChain(40);
      // Reordered in blocks, every third one twice.
      const shuffled = records.flatMap((record, i) => (i % 3 === 0 ? [record, record] : [record])).reverse();
      await Promise.all(shuffled.map(record => edge.publish(`${RIG}/record`, record)));
      const ack = await edge.newest<Ack>(ACK, message => message.upto === 40);
      expect(ack).toEqual({
        origin: 'simulated',
        store: 'truck',
        stream: STREAM,
        upto: 40,
        head: records[39]!.hash,
      });
      expect(await dashboard.counter('recordStored')).toBe(40);
      expect(await dashboard.counter('recordDuplicate')).toBe(14);
      const late = await mqttClient(url, [`${RIG}/ack/+`]);
      await late.newest<Ack>(ACK, message => message.upto === 40);
      expect(late.received[0]?.retain).toBe(true);
    });

    it('keeps a second record of one number, raises it by name, and never acknowledges past a hole', async () => {
      const { dashboard, url } = await withBroker(kind);
      const edge = await mqttClient(url, [`${RIG}/ack/+`]);
      const [r1, r2, r3, r4] = testChain(4);
      for (const record of [r1, r2, r4]) await edge.publish(`${RIG}/record`, record);
      await edge.newest<Ack>(ACK, message => message.upto === 2);
      const clone = seal(JSON.stringify(testBody({ events: [testEvent(9)] })), 2, r1!.hash);
      await edge.publish(`${RIG}/record`, clone);
      await waitUntil(() => dashboard.counter('identityConflict'), 'the conflict');
      const { streams } = await dashboard.json<System>('/api/v1/system');
      expect(streams).toMatchObject([{ rig: 'rig-a', stream: STREAM, upto: 2, waiting: 1, conflicts: 1 }]);
      await edge.publish(`${RIG}/record`, r3);
      expect((await edge.newest<Ack>(ACK, message => message.upto === 4)).head).toBe(r4!.hash);
    });

    it('says acks, assignment and procedure again after the broker has lost its memory', async () => {
      const { broker, dashboard, url } = await withBroker(kind);
      const author = await withProcedure(dashboard);
      const edge = await mqttClient(url);
      await edge.publish(`${RIG}/info`, infoMessage(), true);
      for (const record of testChain(3)) await edge.publish(`${RIG}/record`, record);
      await waitUntil(async () => (await dashboard.counter('recordStored')) === 3, 'three records');
      const entry = await dashboard.post<AssignmentEntry>('/api/v1/assignments', {
        site: 'spread-1',
        rig: 'rig-a',
        author,
        work: WORK,
      });
      await edge.client.endAsync(true);
      if (broker) {
        await broker.kill();
        await broker.start();
      } else {
        const brokerPid = childOf(dashboard.child.pid!);
        process.kill(brokerPid, 'SIGKILL');
      }
      await waitUntil(() => dashboard.counter('brokerLost'), 'the broker to be lost');
      const back = await mqttClient(url, [`${RIG}/#`]);
      expect(await back.newest<Ack>(ACK, message => message.upto === 3)).toMatchObject({ stream: STREAM });
      const assignment = await back.newest<Assignment>(`${RIG}/assignment`, () => true);
      expect(assignment).toEqual({ ...entry.assignment, origin: 'simulated' });
      const procedure = await back.newest<ProcedureMessage>(`${RIG}/procedure/example-610`, () => true);
      expect(procedure).toMatchObject({ author, procedure: EXAMPLE_PROCEDURE });
      // The edge learns what it is to judge by before it learns what it welds.
      const order = back.received.map(({ topic }) => topic);
      expect(order.indexOf(`${RIG}/procedure/example-610`)).toBeLessThan(order.indexOf(`${RIG}/assignment`));
    });

    it('counts every kind of bad payload under its name and goes on', async () => {
      const { dashboard, url } = await withBroker(kind);
      const edge = await mqttClient(url, [`${RIG}/ack/+`]);
      const [good] = testChain(1);
      const live = JSON.stringify(testLive(1_000_000));
      const other = seal(JSON.stringify(testBody({ rig: 'rig-b' })), 1);
      const payloads: readonly (readonly [string, string | Buffer])[] = [
        ['live', '{'],
        ['live', Buffer.of(0xff, 0xfe)],
        ['live', '['.repeat(10_000) + ']'.repeat(10_000)],
        ['live', `{"__proto__":{"a":1},${live.slice(1)}`],
        ['live', live.replace('1000000', '9007199254740993')],
        ['health', '{"cursors":{"__proto__":5}}'],
        ['status', '{"origin":"real","state":"ready","at":"yesterday"}'],
        ['record', JSON.stringify({ ...good, hash: '0'.repeat(64) })],
        ['record', JSON.stringify({ ...good, seq: 1.5 })],
        ['record', JSON.stringify({ ...good, seq: -1 })],
        ['record', JSON.stringify({ ...good, seq: 2 ** 53 })],
        ['record', JSON.stringify(other)],
        ['record', JSON.stringify(seal('[]', 7, CHAIN_START, OTHER_STREAM))],
        ['info', JSON.stringify({ ...infoMessage(), rig: 'rig-b' })],
        ['pass', JSON.stringify(testPass(1, { rig: 'rig-b' }))],
      ];
      for (const [topic, payload] of payloads) await edge.publish(`${RIG}/${topic}`, payload);
      await edge.publish(`${RIG}/record`, good);
      await edge.newest<Ack>(ACK, message => message.upto === 1 && message.stream === STREAM);
      const { counters } = await dashboard.json<System>('/api/v1/system');
      expect(counters).toMatchObject({
        payloadNotJson: 1,
        payloadNotText: 1,
        recordHashMismatch: 1,
        recordOtherRig: 1,
        recordBodyUnreadable: 1,
        passForeign: 1,
        recordStored: 2,
      });
      expect(counters['payloadInvalid']).toBe(9);
      expect(dashboard.child.exitCode).toBeNull();
    });
  });
}

describe('live stream', () => {
  it('shows a rig from its first message, coalesces live values and resumes events by id', async () => {
    const { dashboard, url } = await withBroker('embedded');
    const edge = await mqttClient(url);
    const stream = await readEvents(`${dashboard.http}/api/v1/stream`);
    await waitUntil(() => stream.of('rigs').length > 0, 'the first picture');
    expect(stream.frames.slice(0, 2)).toMatchObject([
      { event: 'pace' },
      { event: 'rigs', data: { rigs: [] } },
    ]);
    await edge.publish(`${RIG}/info`, infoMessage(), true);
    for (let i = 1; i <= 50; i++) await edge.publish(`${RIG}/live`, testLive(i * 1000, i));
    const live = () => stream.of('live');
    await waitUntil(
      () => live().at(-1)?.data.rigs[0]?.live.values.weldingCurrent === 50,
      'the newest live value',
    );
    expect(live().length).toBeLessThan(50);
    expect(stream.of('rig').some(frame => frame.data.info?.rig === 'rig-a')).toBe(true);

    await edge.publish(`${RIG}/event`, testEvent(1));
    const first = await waitUntil(() => stream.of('event')[0], 'an event');
    stream.close();
    await edge.publish(`${RIG}/event`, testEvent(2));
    // The record lane tells the same events again: once is enough.
    const body = testBody({ events: [testEvent(1), testEvent(2), testEvent(3)], passes: [testPass(1)] });
    await edge.publish(`${RIG}/record`, seal(JSON.stringify(body), 1));
    await waitUntil(
      async () => (await dashboard.json<{ passes: unknown[] }>('/api/v1/passes')).passes.length === 1,
      'the pass',
    );
    const resumed = await readEvents(`${dashboard.http}/api/v1/stream`, first.id);
    await waitUntil(() => resumed.of('pass').length > 0, 'what was missed');
    expect(resumed.of('event').map(frame => frame.data.event.id)).toEqual([`${STREAM}:2`, `${STREAM}:3`]);
    expect(resumed.of('pass').map(frame => frame.data.passId)).toEqual([`${STREAM}:1`]);
    const [picture] = resumed.of('rigs');
    expect(picture).toMatchObject({
      event: 'rigs',
      data: { rigs: [{ rig: 'rig-a', place: 0, live: { values: { weldingCurrent: 50 } } }] },
    });
  });
});

function infoMessage() {
  return {
    origin: 'simulated',
    at: '2026-05-12T08:00:00.000Z',
    site: 'spread-1',
    rig: 'rig-a',
    stream: STREAM,
    software: 'test',
    source: { url: 'file:///x', format: 'text' },
    samplePeriodS: 0.01,
    channels: [{ channel: 'weldingCurrent', unit: 'A', resolution: 0.1 }],
    referenceRadiusMm: 305,
    voltageTapPoint: 'at the torch',
    requiredStores: ['truck'],
  };
}

/** The broker is the dashboard's only child. */
function childOf(pid: number): number {
  const [child] = readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').trim().split(' ');
  return Number(child);
}
