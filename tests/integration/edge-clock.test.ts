/** A clock asked over a real broker: what an edge does with the answers, and what the truck answers. */
import { describe, expect, it } from 'vitest';
import type { ClockMapRow } from '#core/messages/clock-map';
import { type ClockPing, clockPingSchema } from '#core/messages/clock-ping';
import type { Health } from '#core/messages/health';
import type { Live } from '#core/messages/live';
import { recordBodySchema } from '#core/messages/record';
import { type TimeAnswer, timeAnswerSchema } from '#core/messages/time-answer';
import { startDashboard } from '../support/dashboard-program.ts';
import { Sink, startDevice, writeConfig } from '../support/edge-bench.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { mqttClient } from '../support/mqtt-client.ts';
import { startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

const RIG = 'girthlog/1/spread-1/rig-a';

describe.skipIf(mosquittoMissing)('an edge', () => {
  it('measures its clock by what its store answers, and says so in live, health and record; others count nothing', async () => {
    const broker = await startMosquitto();
    const sink = new Sink(broker.url);
    const store = await mqttClient(broker.url, [`${RIG}/clock`]);
    // A store whose clock is an hour ahead of this machine's.
    store.client.on('message', (_topic, payload) => {
      const { origin, id } = clockPingSchema.parse(JSON.parse(payload.toString()));
      const answer = (name: string, aheadMs: number): void => {
        const at = Date.now() + aheadMs;
        const message: TimeAnswer = { origin, store: name, id, receivedMs: at, sentMs: at };
        void store.publish(`${RIG}/time/${name}`, message);
      };
      answer('stranger', -86_400_000);
      answer('truck', 3_600_000);
    });
    const { url } = await startDevice();
    const edge = startProgram('girthlog-edge', ['run', '--config', writeConfig(tempDir(), url, broker.url)]);
    const offset = await waitUntil(
      () => sink.newest<Live>('live')?.clock.offsetMs,
      () => `an offset; ${edge.stderr()}`,
    );
    expect(Math.abs(offset + 3_600_000)).toBeLessThan(1000);
    await waitUntil(() => sink.newest<Health>('health')?.clock.offsetMs, 'the offset in health');
    const bodies = () =>
      [...sink.kept.values()].map(({ record }) => recordBodySchema.parse(JSON.parse(record.body)));
    await waitUntil(() => bodies().some(({ clock }) => clock.offsetMs !== null), 'the offset in the record');
    // The map begins with the start of the program.
    const map = bodies().flatMap(({ clockMap = [] }): ClockMapRow[] => clockMap);
    expect(map[0]).toMatchObject({ cause: 'start', offsetMs: null });
    expect(edge.stderr()).not.toContain('messageInvalid');
  });
});

describe('a truck', () => {
  it('answers a question for the time at once, by its own clock', async () => {
    const dashboard = await startDashboard();
    const edge = await mqttClient(dashboard.mqtt, [`${RIG}/time/+`]);
    await waitUntil(async () => {
      const ping: ClockPing = { origin: 'simulated', id: 7 };
      await edge.publish(`${RIG}/clock`, ping);
      return edge.received.length > 0;
    }, 'an answer');
    const [first] = edge.received;
    expect(first).toMatchObject({ topic: `${RIG}/time/truck`, retain: false });
    const answer = timeAnswerSchema.parse(JSON.parse(first!.text));
    expect(answer).toMatchObject({ origin: 'simulated', store: 'truck', id: 7 });
    expect(answer.sentMs).toBeGreaterThanOrEqual(answer.receivedMs);
    // One machine, one clock.
    expect(Math.abs(Date.now() - answer.sentMs)).toBeLessThan(60_000);
  });
});
