/**
 * Brokers that confirm what they do not deliver. A confirmation releases nothing: the watermark stands still,
 * people are told, and when the cause is gone everything is there.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { mosquittoMissing } from '../support/mosquitto.ts';
import type { RunningProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';
import { makeStation, type Station } from './harness/station.ts';

const ALL = 'topic readwrite girthlog/#\n';
/** Everything but the record lane, which alone carries data. */
const NO_RECORDS = `${[
  'status',
  'info',
  'live',
  'event',
  'pass',
  'alarms',
  'health',
  'ack/+',
  'assignment',
  'procedure/+',
]
  .map(kind => `topic readwrite girthlog/1/+/+/${kind}`)
  .join('\n')}\ntopic read girthlog/#\n`;

async function alarmed(station: Station, edge: RunningProgram): Promise<void> {
  const heard = await station.listen();
  await waitUntil(
    () => heard.alarms().some(({ cause }) => cause === 'buffering'),
    () => `the alarm that data waits; ${edge.stderr().slice(-1500)}`,
    30_000,
  );
  expect(heard.live()!.buffer.waiting).toBeGreaterThan(0);
  expect(heard.live()!.buffer.recording).toBe('ok');
}

async function balanced(station: Station, edge: RunningProgram): Promise<void> {
  await station.rig.stop();
  await station.allTaken(() => edge);
  expect(await edge.stop()).toBe(0);
  const books = await station.account();
  expect(books.holes).toEqual([]);
  expect(books.delivered.length).toBeGreaterThan(100);
}

describe.skipIf(mosquittoMissing)('a broker that takes messages and delivers none', () => {
  it('because its rights forbid it: the alarm comes, and the data when the rights are mended', async () => {
    const rights = join(tempDir(), 'rights');
    writeFileSync(rights, NO_RECORDS);
    const station = await makeStation({ seed: 1, mosquittoSettings: [`acl_file ${rights}`] });
    await station.startTruck();
    const edge = station.startEdge();
    await alarmed(station, edge);
    expect(station.taken()).toBe(0);
    writeFileSync(rights, ALL);
    await station.mosquitto!.reload();
    await waitUntil(() => station.taken() > 0, 'records at the truck', 30_000);
    await balanced(station, edge);
  });

  it('because its limit of size is too small: the alarm comes, and the data through a broker that takes them', async () => {
    const station = await makeStation({ seed: 1, mosquittoSettings: ['message_size_limit 1200'] });
    await station.startTruck();
    const edge = station.startEdge();
    await waitUntil(() => station.committed() >= 20, 'batches to wait');
    await alarmed(station, edge);
    const before = station.taken();
    await station.mosquitto!.kill();
    await station.mosquitto!.start([]);
    await waitUntil(() => station.taken() > before + 20, 'records at the truck', 30_000);
    await balanced(station, edge);
  });

  it('because the truck does not read and its queue is full: the alarm comes, and the data when it reads again', async () => {
    const station = await makeStation({
      seed: 1,
      mosquittoSettings: ['max_queued_messages 5', 'max_inflight_messages 5'],
    });
    const truck = await station.startTruck();
    const edge = station.startEdge();
    await waitUntil(() => station.taken() > 3, 'records at the truck');
    truck.child.kill('SIGSTOP');
    try {
      await alarmed(station, edge);
    } finally {
      truck.child.kill('SIGCONT');
    }
    await balanced(station, edge);
  });

  it('because it dies after its confirmation, or is not there at all: the truck says so, and the data come', async () => {
    const station = await makeStation({ seed: 1, broker: 'mosquitto' });
    const truck = await station.startTruck();
    const edge = station.startEdge();
    await waitUntil(() => station.taken() > 3, 'records at the truck');
    await station.mosquitto!.kill();
    await waitUntil(
      async () => (await truck.json<{ warnings: string[] }>('/readyz')).warnings.length > 0,
      'the truck to say that nothing new arrives',
    );
    const waiting = station.committed() - station.taken();
    await waitUntil(() => station.committed() - station.taken() > waiting + 20, 'batches to wait');
    await station.mosquitto!.start();
    await balanced(station, edge);
  });
});
