import { connect, type IClientOptions, type MqttClient } from 'mqtt';
import { onTestFinished } from 'vitest';
import { waitUntil } from './wait-until.ts';

export interface TestClient {
  readonly client: MqttClient;
  /** Every message received, oldest first. */
  readonly received: { readonly topic: string; readonly text: string; readonly retain: boolean }[];
  readonly publish: (topic: string, payload: unknown, retain?: boolean) => Promise<void>;
  /** The newest message on a topic, once there is one that fits. */
  readonly newest: <T>(topic: string, fits: (message: T) => boolean) => Promise<T>;
}

/** A connected MQTT 3.1.1 client; ends with the running test. */
export async function mqttClient(
  url: string,
  subscribe: readonly string[] = [],
  options: IClientOptions = {},
): Promise<TestClient> {
  const client = connect(url, {
    protocolVersion: 4,
    clean: true,
    keepalive: 30,
    reconnectPeriod: 100,
    reconnectOnConnackError: true,
    ...options,
  });
  const received: TestClient['received'] = [];
  client.on('message', (topic, payload, { retain }) =>
    received.push({ topic, text: payload.toString(), retain }),
  );
  client.on('error', () => {});
  onTestFinished(async () => {
    await client.endAsync(true);
  });
  await waitUntil(() => client.connected, `a connection to ${url}`);
  if (subscribe.length > 0) await client.subscribeAsync([...subscribe], { qos: 1 });
  return {
    client,
    received,
    publish: async (topic, payload, retain = false) => {
      const bytes =
        typeof payload === 'string' || payload instanceof Buffer ? payload : JSON.stringify(payload);
      await client.publishAsync(topic, bytes, { qos: 1, retain });
    },
    newest: async <T>(topic: string, fits: (message: T) => boolean): Promise<T> =>
      waitUntil(
        () => {
          const message = received.findLast(one => one.topic === topic);
          const parsed = message && (JSON.parse(message.text) as T);
          return parsed !== undefined && fits(parsed) ? parsed : null;
        },
        () => `a fitting message on ${topic}; last: ${received.findLast(one => one.topic === topic)?.text}`,
      ),
  };
}
