/** What an edge needs around it in a test: a device that sends text frames over TCP, and a store that commits. */
import { createHash } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import { createServer, type Server, type Socket } from 'node:net';
import { join } from 'node:path';
import mqtt from 'mqtt';
import { onTestFinished } from 'vitest';
import { defaultDeviceChannels } from '#core/frame/device-announcement';
import { encodeTextAnnouncement, encodeTextData } from '#core/frame/text-encoder';
import { type Ack, ackSchema } from '#core/messages/ack';
import { type RecordMessage, recordBodySchema, recordSchema } from '#core/messages/record';
import { fromBase64 } from '#core/sample/base64';
import { decodeChunk } from '#core/sample/codec';
import { topicOf } from '#core/topics/topics';

export const ADDRESS = { site: 'spread-1', rig: 'rig-a' };
const PERIOD_US = 20_000;
const CHANNELS = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'] as const;

const ANNOUNCEMENT = encodeTextAnnouncement({
  simulated: true,
  boot: 1,
  samplePeriodUs: PERIOD_US,
  channels: defaultDeviceChannels(CHANNELS),
});

function frame(n: number): Uint8Array {
  // Below the arc threshold of 15 A: the count stays a count.
  const raw = [n % 140, 2000 + (n % 7), 0, 0];
  return encodeTextData(ANNOUNCEMENT.tag, n & 0xffff, n * PERIOD_US, PERIOD_US, raw);
}

/** The bytes such a device would have sent. */
export function recording(frames: number): Uint8Array {
  return Buffer.concat([ANNOUNCEMENT.bytes, ...Array.from({ length: frames }, (_, n) => frame(n))]);
}

/** A measuring device on a TCP port; counts its readings in the current channel: 0.0 A, 0.1 A, 0.2 A … */
export class Device {
  sent = 0;
  private readonly server: Server;
  private readonly sockets = new Set<Socket>();
  private timer: NodeJS.Timeout | null = null;

  constructor() {
    this.server = createServer(socket => {
      this.sockets.add(socket);
      socket.on('error', () => undefined);
      socket.on('close', () => this.sockets.delete(socket));
      socket.write(ANNOUNCEMENT.bytes);
    });
  }

  async start(): Promise<number> {
    await new Promise<void>(resolve => this.server.listen(0, '127.0.0.1', resolve));
    const started = Date.now();
    this.timer = setInterval(() => {
      const due = Math.floor(((Date.now() - started) * 1000) / PERIOD_US);
      while (this.sent < due) this.send();
    }, 20);
    const address = this.server.address();
    if (typeof address !== 'object' || !address) throw new Error('no port');
    return address.port;
  }

  silence(): void {
    if (this.timer) clearInterval(this.timer);
  }

  stop(): void {
    this.silence();
    for (const socket of this.sockets) socket.destroy();
    this.server.close();
  }

  private send(): void {
    const bytes = frame(this.sent++);
    for (const socket of this.sockets) socket.write(bytes);
  }
}

export async function startDevice(): Promise<{ device: Device; url: string }> {
  const device = new Device();
  onTestFinished(() => device.stop());
  return { device, url: `tcp://127.0.0.1:${await device.start()}` };
}

/** A configuration file for an edge in `dir`; `more` is TOML that follows. */
export function writeConfig(dir: string, sourceUrl: string, brokerUrl: string, more = ''): string {
  const file = join(dir, 'rig.toml');
  writeFileSync(
    file,
    `[rig]
site = "${ADDRESS.site}"
rig = "${ADDRESS.rig}"
origin = "simulated"
reference_radius_mm = 310
[source]
url = "${sourceUrl}"
[broker]
url = "${brokerUrl}"
[store]
path = "edge.db"
batch_s = 0.1
[log]
level = "debug"
${more}`,
  );
  return file;
}

interface Kept {
  readonly record: RecordMessage;
  readonly samples: number;
}

/**
 * A store at the other end: keeps every record once, checks its hash, acknowledges what is contiguous.
 * `memory` outlives connections, as a database would.
 */
export class Sink {
  readonly kept = new Map<string, Kept>();
  readonly last = new Map<string, Buffer>();
  readonly messages: { topic: string; payload: Buffer }[] = [];
  conflicts = 0;
  duplicates = 0;
  broken = 0;
  acknowledges = true;
  private readonly client: mqtt.MqttClient;
  private readonly upto = new Map<string, number>();

  constructor(url: string) {
    this.client = mqtt.connect(url, { protocolVersion: 4, reconnectPeriod: 100, resubscribe: false });
    this.client.on('error', () => undefined);
    this.client.on('connect', () =>
      this.client.subscribe(`girthlog/1/${ADDRESS.site}/${ADDRESS.rig}/#`, { qos: 1 }),
    );
    this.client.on('message', (topic, payload) => this.take(topic, payload));
    onTestFinished(() => {
      this.client.end(true);
    });
  }

  get connected(): boolean {
    return this.client.connected;
  }

  /** The newest message of a kind, such as `live` or `health`. */
  newest<T>(kind: string): T | null {
    const payload = this.last.get(topicOf(ADDRESS, 'live').replace(/live$/, kind));
    return payload ? (JSON.parse(payload.toString()) as T) : null;
  }

  forget(): void {
    this.last.clear();
  }

  /** Records of one stream in order of their number. */
  records(stream: string): RecordMessage[] {
    return [...this.kept.values()]
      .map(({ record }) => record)
      .filter(record => record.stream === stream)
      .sort((a, b) => a.seq - b.seq);
  }

  streams(): string[] {
    return [...new Set([...this.kept.values()].map(({ record }) => record.stream))];
  }

  committed(stream: string): number {
    return this.upto.get(stream) ?? 0;
  }

  async say(kind: 'assignment' | 'ack' | 'procedure', item: string | null, message: unknown): Promise<void> {
    const payload = typeof message === 'string' ? message : JSON.stringify(message);
    await this.client.publishAsync(topicOf(ADDRESS, kind, item), payload, { qos: 1, retain: true });
  }

  /** The acknowledgement of everything kept without a hole, with `changes` to make it a wrong one. */
  ack(stream: string, changes: Partial<Ack> = {}): Ack {
    const upto = changes.upto ?? this.committed(stream);
    const head = this.kept.get(`${stream}:${upto}`)?.record.hash ?? '0'.repeat(64);
    return ackSchema.parse({ origin: 'simulated', store: 'truck', stream, upto, head, ...changes });
  }

  private take(topic: string, payload: Buffer): void {
    this.last.set(topic, payload);
    this.messages.push({ topic, payload });
    if (!topic.endsWith('/record')) return;
    const record = recordSchema.parse(JSON.parse(payload.toString()));
    const { reduced } = record;
    const whole = ['girthlog.record/1', record.prev, record.stream, record.seq, record.body].join('\n');
    const left = ['girthlog.reduced/1', record.hash, record.body].join('\n');
    const hash = createHash('sha256')
      .update(reduced ? left : whole)
      .digest('hex');
    if (hash !== (reduced?.bodyHash ?? record.hash)) this.broken += 1;
    const key = `${record.stream}:${record.seq}`;
    const known = this.kept.get(key);
    if (known) {
      if (known.record.hash === record.hash) this.duplicates += 1;
      else this.conflicts += 1;
    } else {
      const body = record.body === '' ? null : recordBodySchema.parse(JSON.parse(record.body));
      this.kept.set(key, { record, samples: body?.samples?.n ?? 0 });
    }
    let upto = this.committed(record.stream);
    while (this.kept.has(`${record.stream}:${upto + 1}`)) upto += 1;
    this.upto.set(record.stream, upto);
    if (this.acknowledges && upto > 0) {
      // Published without waiting: what a dying broker loses is said again with the next record.
      this.client.publish(topicOf(ADDRESS, 'ack', 'truck'), JSON.stringify(this.ack(record.stream)), {
        qos: 1,
        retain: true,
      });
    }
  }
}

/** Readings of the current channel in a stream's records, in order, as the device's steps of 0.1 A. */
export function readings(records: readonly RecordMessage[]): { tUs: number; steps: number }[] {
  return records.flatMap(record => {
    const { samples } = recordBodySchema.parse(JSON.parse(record.body));
    if (!samples) return [];
    const chunk = decodeChunk(fromBase64(samples.data));
    return Array.from(chunk.tUs, (tUs, i) => ({
      tUs,
      steps: Math.round(chunk.columns.weldingCurrent![i]! * 10),
    }));
  });
}
