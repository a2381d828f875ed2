/**
 * The way from the device to the truck as one writes it first, only a baseline: a line a sample, a row and a commit
 * a sample, a JSON message a sample at QoS 1, and again a row and a commit. Durable as the product is: synchronous=FULL.
 */
import { connect } from 'node:net';
import Database from 'better-sqlite3';
import { topicOf } from '#core/topics/topics';
import { connectMqtt } from '../harness/mqtt-client.ts';

const COLUMNS = 'rig TEXT, t REAL, current REAL, voltage REAL, feed REAL, travel REAL';

interface Sample {
  readonly rig: string;
  readonly t: number;
  readonly current: number;
  readonly voltage: number;
  readonly feed: number;
  readonly travel: number;
}

function openRows(file: string): (sample: Sample) => void {
  const db = new Database(file);
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.exec(`CREATE TABLE sample (${COLUMNS})`);
  const insert = db.prepare('INSERT INTO sample VALUES (?, ?, ?, ?, ?, ?)');
  return ({ rig, t, current, voltage, feed, travel }) => {
    insert.run(rig, t, current, voltage, feed, travel);
  };
}

/** Tells how many samples have gone all the way through here, whenever it is asked. */
function answerWith(count: () => number): void {
  process.on('message', () => process.send?.({ count: count() }));
  process.on('disconnect', () => process.exit(0));
}

/** Arguments: rig, host, port of the device, MQTT URL, file. A message of any kind asks for the count. */
export function runPlainEdge(): void {
  const [, , , rig = '', host = '', port = '', url = '', file = ''] = process.argv;
  const keep = openRows(file);
  const topic = topicOf({ site: 'bench', rig }, 'event');
  let count = 0;
  void connectMqtt(url).then(client => {
    let rest = '';
    const socket = connect({ host, port: Number(port) });
    socket.setEncoding('utf8').on('data', (text: string) => {
      const lines = (rest + text).split('\n');
      rest = lines.pop() ?? '';
      for (const line of lines) {
        const [t, current, voltage, feed, travel] = line.split(',').map(Number.parseFloat);
        const sample = {
          ...{ rig, t: t!, current: current!, voltage: voltage! },
          ...{ feed: feed!, travel: travel! },
        };
        keep(sample);
        client.publish(topic, JSON.stringify(sample), { qos: 1 });
        count++;
      }
    });
    process.send?.({ ready: true });
  });
  answerWith(() => count);
}

/** Arguments: MQTT URL, file. */
export function runPlainServer(): void {
  const [, , , url = '', file = ''] = process.argv;
  const keep = openRows(file);
  let count = 0;
  void connectMqtt(url).then(async client => {
    client.on('message', (_topic, payload) => {
      keep(JSON.parse(payload.toString()) as Sample);
      count++;
    });
    await client.subscribeAsync('girthlog/1/bench/+/event', { qos: 1 });
    process.send?.({ ready: true });
  });
  answerWith(() => count);
}
