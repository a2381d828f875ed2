/** A reader that takes nothing and then goes away leaves thousands of messages waiting: the broker goes on. */
import { connect } from 'node:net';
import { expect, it, onTestFinished } from 'vitest';
import { connect as mqttConnect, subscribe } from '../fuzz/mqtt-packets.ts';
import { startDashboard } from '../support/dashboard-program.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { waitUntil } from '../support/wait-until.ts';

const READERS = 6;
const MESSAGES = 20_000;
const TOPIC = 'girthlog/1/spread-1/rig-a/event';

it('with thousands waiting for readers that have gone, it serves those who are there', async () => {
  const dashboard = await startDashboard();
  const { port } = new URL(dashboard.mqtt);
  const readers = await Promise.all(
    Array.from(
      { length: READERS },
      (_, i) =>
        new Promise<ReturnType<typeof connect>>(resolve => {
          const socket = connect(Number(port), '127.0.0.1', () => {
            socket.write(Uint8Array.from([...mqttConnect(`deaf-${i}`), ...subscribe('girthlog/1/#', i % 2)]));
          });
          socket.on('error', () => {});
          // Its subscription is confirmed; from then on it reads nothing.
          socket.once('data', () => {
            socket.pause();
            resolve(socket);
          });
        }),
    ),
  );
  onTestFinished(() => {
    for (const socket of readers) socket.destroy();
  });
  const { client } = await mqttClient(dashboard.mqtt);
  const payload = JSON.stringify({ filler: 'x'.repeat(2000) });
  let confirmed = 0;
  for (let i = 0; i < MESSAGES; i++) {
    client.publish(TOPIC, payload, { qos: i % 2 === 0 ? 1 : 0 }, () => confirmed++);
  }
  // Those who read nothing hold back who publishes; then they are gone, all at once.
  await waitUntil(() => confirmed > 0, 'the first messages to be taken');
  for (const socket of readers) socket.resetAndDestroy();
  await waitUntil(
    () => confirmed === MESSAGES,
    () => `all to be confirmed, ${confirmed} are`,
    60_000,
  );
  const { newest, publish } = await mqttClient(dashboard.mqtt, ['girthlog/1/spread-1/rig-a/alarms']);
  await publish('girthlog/1/spread-1/rig-a/alarms', { still: 'here' });
  await newest('girthlog/1/spread-1/rig-a/alarms', (message: { still?: string }) => message.still === 'here');
  expect(await dashboard.counter('brokerExited')).toBe(0);
});
