/** The program on a store that breaks under it, started again as a supervisor would. */
import { closeSync, openSync, readdirSync, statSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import type { System } from '#core/messages/api-lists';
import { startDashboard } from '../support/dashboard-program.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { readEvents } from '../support/sse-reader.ts';
import { testChain } from '../support/test-records.ts';
import { waitUntil } from '../support/wait-until.ts';

const RECORD = 'girthlog/1/spread-1/rig-a/record';
const ACK = 'girthlog/1/spread-1/rig-a/ack/truck';

it('ends with 75, moves the store aside at the next start, says so, and fills up from the edge', async () => {
  const first = await startDashboard();
  const listening = async (program: typeof first): Promise<boolean> =>
    (await program.json<System>('/api/v1/system')).broker.connected;
  await waitUntil(() => listening(first), 'the dashboard to hear its broker');
  const edge = await mqttClient(first.mqtt, [ACK]);
  const records = testChain(60);
  for (const record of records) await edge.publish(RECORD, record);
  await edge.newest<{ upto: number }>(ACK, ack => ack.upto === records.length);
  // Closed and opened again, so that its pages are in the file and not in its memory.
  expect(await first.stop()).toBe(0);
  const second = await startDashboard({ data: first.data });
  const file = join(first.data, 'dashboard.sqlite3');
  const handle = openSync(file, 'r+');
  for (let at = 4096; at < statSync(file).size; at += 4096)
    writeSync(handle, Buffer.alloc(4096, 0xa5), 0, 4096, at);
  closeSync(handle);
  // Whoever meets the damage ends it.
  for (const path of ['events', 'passes', 'deviations', 'entries', 'joints'])
    await fetch(`${second.http}/api/v1/${path}`).catch(() => null);
  expect(await second.exited).toBe(75);

  const third = await startDashboard({ data: first.data });
  expect(readdirSync(first.data).some(name => name.startsWith('dashboard.sqlite3.damaged-'))).toBe(true);
  const ready = await third.json<{ ready: boolean; warnings: string[] }>('/readyz');
  expect(ready.ready).toBe(true);
  expect(ready.warnings.filter(text => text.includes('moved aside'))).toHaveLength(1);
  const screen = await readEvents(`${third.http}/api/v1/stream`);
  await waitUntil(
    () => screen.of('truck').at(-1)?.data.conditions[0]?.cause === 'storeDamaged',
    'the screen to be told',
  );
  await waitUntil(() => listening(third), 'the dashboard to hear its broker');
  const refilling = await mqttClient(third.mqtt, [ACK]);
  for (const record of records) await refilling.publish(RECORD, record);
  const { head } = await refilling.newest<{ upto: number; head: string }>(
    ACK,
    ack => ack.upto === records.length,
  );
  expect(head).toBe(records.at(-1)?.hash);
});
