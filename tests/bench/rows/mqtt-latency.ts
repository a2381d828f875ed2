import { type ChildProcess, spawn } from 'node:child_process';
import { connect as connectTcp, type Socket } from 'node:net';
import type { MqttClient } from 'mqtt';
import { topicOf } from '#core/topics/topics';
import { atMost, type Benchmark } from '../harness/figure.ts';
import { quantile, ratioOf, showMedian, spreadOf, takeTurns } from '../harness/measure.ts';
import { connectMqtt } from '../harness/mqtt-client.ts';
import { startBroker, stopChild } from '../harness/programs.ts';

const RIGS = 16;
const RATE_HZ = 50;
const SECONDS = 2;
const PAYLOAD_BYTES = 200;
const MESSAGES = RIGS * RATE_HZ * SECONDS;

/** Sends a message a turn, evenly spread over the rigs, and resolves with all latencies in ms, ascending. */
async function pace(
  send: (rig: number, payload: Buffer) => void,
  arrived: { latencies: number[]; next: number[] },
): Promise<number[]> {
  const started = performance.now();
  const gapMs = 1000 / (RIGS * RATE_HZ);
  let sent = 0;
  await new Promise<void>((resolve, reject) => {
    const timer = setInterval(() => {
      while (sent < MESSAGES && sent * gapMs <= performance.now() - started) {
        const payload = Buffer.alloc(PAYLOAD_BYTES);
        const rig = sent % RIGS;
        payload.writeUInt32LE(rig, 0);
        payload.writeUInt32LE(Math.floor(sent / RIGS), 4);
        payload.writeDoubleLE(performance.now(), 8);
        sent++;
        send(rig, payload);
      }
      const late = performance.now() - started > (SECONDS + 10) * 1000;
      if (arrived.latencies.length < MESSAGES && !late) return;
      clearInterval(timer);
      if (late) reject(new Error(`${arrived.latencies.length} of ${MESSAGES} messages arrived`));
      else resolve();
    }, 1);
  });
  return arrived.latencies.sort((a, b) => a - b);
}

/** Counts a message in; throws when its rig's numbers do not follow each other. */
function take(arrived: { latencies: number[]; next: number[] }, payload: Buffer): void {
  const rig = payload.readUInt32LE(0);
  const number = payload.readUInt32LE(4);
  if (number !== arrived.next[rig])
    throw new Error(`rig ${rig}: message ${number}, not ${arrived.next[rig]}`);
  arrived.next[rig]!++;
  arrived.latencies.push(performance.now() - payload.readDoubleLE(8));
}

const nothingYet = () => ({ latencies: [] as number[], next: Array<number>(RIGS).fill(0) });

async function overTcp(sockets: readonly Socket[]): Promise<number[]> {
  const arrived = nothingYet();
  for (const socket of sockets) {
    let waiting = Buffer.alloc(0);
    socket.removeAllListeners('data').on('data', (bytes: Buffer) => {
      waiting = Buffer.concat([waiting, bytes]);
      for (; waiting.length >= PAYLOAD_BYTES; waiting = waiting.subarray(PAYLOAD_BYTES))
        take(arrived, waiting);
    });
  }
  return await pace((rig, payload) => sockets[rig]!.write(payload), arrived);
}

async function overMqtt(rigs: readonly MqttClient[], reader: MqttClient): Promise<number[]> {
  const arrived = nothingYet();
  reader.removeAllListeners('message').on('message', (_topic, payload) => take(arrived, payload));
  return await pace((rig, payload) => {
    rigs[rig]!.publish(topicOf({ site: 'bench', rig: `rig-${rig}` }, 'event'), payload, { qos: 1 });
  }, arrived);
}

const ECHO = `const server = require('node:net').createServer(socket => socket.setNoDelay(true).pipe(socket));
server.listen(0, '127.0.0.1', () => process.stdout.write(server.address().port + '\\n'));`;

async function startEcho(): Promise<{ port: number; child: ChildProcess }> {
  const child = spawn(process.execPath, ['-e', ECHO], { stdio: ['ignore', 'pipe', 'inherit'] });
  const port = await new Promise<number>(resolve => child.stdout.once('data', text => resolve(Number(text))));
  return { port, child };
}

export const mqttLatency: Benchmark = {
  id: 'G11',
  title: 'MQTT latency',
  fullOnly: true,
  how: `${RIGS} MQTT.js clients publish ${RATE_HZ} messages a second each of ${PAYLOAD_BYTES} bytes at QoS 1 for ${SECONDS} s a round; one client subscribed at QoS 1 takes the time from publish to arrival and checks that each rig's numbers follow without a hole. The broker is the dashboard's own, as its child process. Baseline: the same messages over ${RIGS} TCP connections to an echo in another process.`,
  run: async context => {
    const broker = await startBroker(context);
    const echo = await startEcho();
    const sockets = Array.from({ length: RIGS }, () =>
      connectTcp({ port: echo.port, host: '127.0.0.1', noDelay: true }),
    );
    const clients: MqttClient[] = [];
    try {
      const url = `mqtt://127.0.0.1:${broker.port}`;
      for (let i = 0; i <= RIGS; i++) {
        clients.push(await connectMqtt(url));
      }
      const reader = clients[RIGS]!;
      await reader.subscribeAsync('girthlog/1/bench/+/event', { qos: 1 });
      const p99 = { tcp: [] as number[], mqtt: [] as number[] };
      const p50 = await takeTurns(
        { rounds: 4 },
        {
          mqtt: async () => {
            const sorted = await overMqtt(clients, reader);
            p99.mqtt.push(quantile(sorted, 0.99));
            return quantile(sorted, 0.5);
          },
          tcp: async () => {
            const sorted = await overTcp(sockets);
            p99.tcp.push(quantile(sorted, 0.99));
            return quantile(sorted, 0.5);
          },
        },
      );
      const ratio = ratioOf(p50.mqtt, p50.tcp);
      // The warm-up round is the first of each and not counted.
      const [mqttP99, tcpP99] = [p99.mqtt.slice(1), p99.tcp.slice(1)];
      const worst = spreadOf(mqttP99).median;
      return [
        {
          id: 'G11',
          what: 'QoS 1, median, against raw TCP',
          goal: '≤ 4×',
          ratio,
          subject: showMedian(p50.mqtt, 'ms'),
          baseline: showMedian(p50.tcp, 'ms'),
          verdict: atMost(ratio, 4),
        },
        {
          id: 'G11',
          what: 'QoS 1, 99th percentile',
          goal: '≤ 2 ms',
          ratio: ratioOf(mqttP99, tcpP99),
          subject: showMedian(mqttP99, 'ms'),
          baseline: showMedian(tcpP99, 'ms'),
          verdict: worst <= 2 ? 'met' : 'missed',
          note: 'an absolute goal: it depends on what else the machine is doing.',
        },
      ];
    } finally {
      for (const client of clients) await client.endAsync(true);
      for (const socket of sockets) socket.destroy();
      await stopChild(echo.child);
      await broker.stop();
    }
  },
};
