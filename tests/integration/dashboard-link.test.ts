import { describe, expect, it, onTestFinished } from 'vitest';
import { MqttLink } from '../../dashboard/server/ingest/mqtt-link.ts';
import { mosquittoMissing, startMosquitto } from '../support/mosquitto.ts';
import { recordedEvents } from '../support/recorded-events.ts';
import { waitUntil } from '../support/wait-until.ts';

describe.skipIf(mosquittoMissing)('the dashboard’s connection', () => {
  it('that a broker refuses is tried again, and comes about when the broker lets it in', async () => {
    const broker = await startMosquitto();
    await broker.kill();
    await broker.start(['allow_anonymous false']);
    const { report, counts } = recordedEvents();
    const link = new MqttLink({
      url: () => broker.url,
      store: 'truck',
      instance: 'test',
      report,
      random: () => 0.5,
      onMessage: () => {},
      onConnected: () => {},
    });
    onTestFinished(() => link.stop());
    await link.start();
    await waitUntil(() => (counts['brokerError'] ?? 0) >= 2, 'two refusals');
    expect(link.connected).toBe(false);
    await broker.kill();
    await broker.start(['max_connections -1']);
    await waitUntil(() => link.connected, 'the connection');
  });
});
