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

export interface PlainAnswer {
  /** Samples that have gone all the way through here. */
  readonly count: number;
  /** CPU seconds of this process, now and when the count stood at the mark; null before. */
  readonly cpuS: number;
  readonly atMarkS: number | null;
}

/** Answers whenever it is asked; noted here, since who is busy answers late. */
class Progress {
  private readonly markAt: number;
  private count = 0;
  private atMarkS: number | null = null;

  constructor(markAt: string | undefined) {
    this.markAt = Number(markAt);
    process.on('message', () => process.send?.(this.answer()));
    process.on('disconnect', () => process.exit(0));
  }

  passed(): void {
    this.count++;
    if (this.count === this.markAt) this.atMarkS = cpuS();
  }

  private answer(): PlainAnswer {
    return { count: this.count, cpuS: cpuS(), atMarkS: this.atMarkS };
  }
}

function cpuS(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
}

/** Arguments: rig, host, port of the device, MQTT URL, file, mark. A message of any kind asks for the answer. */
export function runPlainEdge(): void {
  const [, , , rig = '', host = '', port = '', url = '', file = '', markAt] = process.argv;
  const progress = new Progress(markAt);
  const keep = openRows(file);
  const topic = topicOf({ site: 'bench', rig }, 'event');
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
        progress.passed();
      }
    });
    process.send?.({ ready: true });
  });
}

/** Arguments: MQTT URL, file, mark. */
export function runPlainServer(): void {
  const [, , , url = '', file = '', markAt] = process.argv;
  const progress = new Progress(markAt);
  const keep = openRows(file);
  void connectMqtt(url).then(async client => {
    client.on('message', (_topic, payload) => {
      keep(JSON.parse(payload.toString()) as Sample);
      progress.passed();
    });
    await client.subscribeAsync('girthlog/1/bench/+/event', { qos: 1 });
    process.send?.({ ready: true });
  });
}
