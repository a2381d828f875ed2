import { Socket } from 'node:net';
import { connectAsync, type MqttClient } from 'mqtt';

/** An MQTT.js client as edge and dashboard set theirs up: 3.1.1, clean, small packets at once. */
export async function connectMqtt(url: string): Promise<MqttClient> {
  const client = await connectAsync(url, { protocolVersion: 4, clean: true, keepalive: 30 });
  if (client.stream instanceof Socket) client.stream.setNoDelay(true);
  return client;
}
