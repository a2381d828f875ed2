import { createHash } from 'node:crypto';
import type { MqttClient } from 'mqtt';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { decodeChunk, encodeChunk } from '#core/sample/codec';
import { topicOf } from '#core/topics/topics';
import { waitUntil } from '../../support/wait-until.ts';
import { atLeast, type BenchContext, type Benchmark, type Figure, notMeasured } from '../harness/figure.ts';
import { ratioOf, showMedian, takeTurns } from '../harness/measure.ts';
import { hasMosquitto, startMosquitto } from '../harness/mosquitto.ts';
import { connectMqtt } from '../harness/mqtt-client.ts';
import { startBroker } from '../harness/programs.ts';
import { weldSignal } from '../harness/weld-signal.ts';

const RATE_HZ = 1000;
const MESSAGES = 6000;
const PER_MESSAGE = 10;
/** As many as the edge's durable lane has on its way. */
const WINDOW = 200;
const TOPIC = topicOf({ site: 'bench', rig: 'rig-b' }, 'event');

function payloads(signal: SampleChunk, perMessage: number): Buffer[] {
  return Array.from({ length: MESSAGES }, (_, i) => {
    const chunk = sliceChunk(signal, i * perMessage, (i + 1) * perMessage);
    return Buffer.from(encodeChunk(chunk));
  });
}

const hashOf = (all: readonly Uint8Array[]): string => {
  const hash = createHash('sha256');
  for (const bytes of all) hash.update(bytes);
  return hash.digest('hex');
};

/** Samples a second from publish to arrival, all of them there and in order. */
async function samplesPerS(
  publisher: MqttClient,
  reader: MqttClient,
  sent: readonly Buffer[],
  samples: number,
): Promise<number> {
  const arrived: Uint8Array[] = [];
  const started = performance.now();
  let next = 0;
  let open = 0;
  let failure: Error | null = null;
  const pump = (): void => {
    // A broker's confirmation says nothing of the reader: both bound what is on its way.
    while (open < WINDOW && next - arrived.length < WINDOW && next < sent.length) {
      open++;
      publisher.publish(TOPIC, sent[next++]!, { qos: 1 }, error => {
        open--;
        failure ??= error ?? null;
        pump();
      });
    }
  };
  reader.removeAllListeners('message').on('message', (_topic, payload) => {
    arrived.push(payload);
    pump();
  });
  pump();
  await waitUntil(
    () => (arrived.length >= sent.length && open === 0) || failure,
    () => `the ${sent.length - arrived.length} messages of ${sent.length} that are not at the reader`,
  );
  if (failure) throw failure;
  const seconds = (performance.now() - started) / 1000;
  const decoded = arrived.reduce((sum, bytes) => sum + decodeChunk(bytes).n, 0);
  if (decoded !== samples || hashOf(arrived) !== hashOf(sent)) {
    throw new Error(`${decoded} of ${samples} samples came over MQTT, or in another order`);
  }
  return samples / seconds;
}

async function overBroker(url: string, who: string, signal: SampleChunk): Promise<Figure> {
  const publisher = await connectMqtt(url);
  const reader = await connectMqtt(url);
  try {
    await reader.subscribeAsync(TOPIC, { qos: 1 });
    const [ten, one] = [payloads(signal, PER_MESSAGE), payloads(signal, 1)];
    const rates = await takeTurns(
      { rounds: 4 },
      {
        ten: () => samplesPerS(publisher, reader, ten, MESSAGES * PER_MESSAGE),
        one: () => samplesPerS(publisher, reader, one, MESSAGES),
      },
    );
    const ratio = ratioOf(rates.ten, rates.one);
    return {
      id: 'G12',
      what: what(who),
      goal: '≥ 10×',
      ratio,
      subject: showMedian(rates.ten.map(perMs), 'samples/ms'),
      baseline: showMedian(rates.one.map(perMs), 'samples/ms'),
      verdict: atLeast(ratio, 10),
    };
  } finally {
    await publisher.endAsync(true);
    await reader.endAsync(true);
  }
}

const perMs = (perS: number): number => perS / 1000;
const what = (who: string): string => `${PER_MESSAGE} samples a message against 1, QoS 1, ${who}`;

export const mqttBatching: Benchmark = {
  id: 'G12',
  title: 'MQTT batching',
  how: `${MESSAGES} messages at QoS 1 from one MQTT.js client to another, ${WINDOW} at most not confirmed by the broker or not at the reader yet, each a chunk of ${PER_MESSAGE} samples of four channels as the codec writes it, against chunks of 1 sample. The count of samples that decode from what arrived and the SHA-256 over all payloads in order must be what was sent. Over the dashboard's own broker, and over Mosquitto where it is installed.`,
  run: async (context: BenchContext) => {
    const signal = weldSignal(MESSAGES * PER_MESSAGE, RATE_HZ);
    const broker = await startBroker(context);
    const figures: Figure[] = [];
    try {
      figures.push(await overBroker(`mqtt://127.0.0.1:${broker.port}`, 'own broker', signal));
    } finally {
      await broker.stop();
    }
    if (!hasMosquitto()) {
      const note = 'Mosquitto is not installed here (apt-get install mosquitto)';
      return [...figures, notMeasured('G12', what('Mosquitto'), '≥ 10×', note)];
    }
    const mosquitto = await startMosquitto(context.scratch);
    try {
      figures.push(await overBroker(mosquitto.url, 'Mosquitto', signal));
      return figures;
    } finally {
      await mosquitto.stop();
    }
  },
};
