/**
 * One MQTT 3.1.1 connection that comes back by itself. Every attempt is a new client: nothing that an old
 * connection left half done is sent again from RAM; what must not be lost is read from the store instead.
 */
import { readFileSync } from 'node:fs';
import { Socket } from 'node:net';
import mqtt from 'mqtt';
import type { InternalEvents } from '../internal-events.ts';

const RECONNECT_FIRST_MS = 200;
const RECONNECT_MAX_MS = 10_000;
const SUBSCRIBE_FIRST_MS = 500;
const CONNECT_TIMEOUT_MS = 5000;
/** A hung broker is noticed within one and a half of these, s. */
const KEEPALIVE_S = 10;

/** What to do about a broker that lets only enrolled machines in. */
export const ENROL_FIRST =
  'enrol it with "girthlog-edge enrol --dashboard https://TRUCK:8443 --code CODE"; the truck makes the code with "girthlog-dashboard enrol SITE/RIG"';

/** CONNACK codes of MQTT 3.1.1, 3.2.2.3: bad user name or password, not authorised. */
const NOT_LET_IN: readonly unknown[] = [4, 5];

export interface BrokerSettings {
  /** One address, or several of one cluster with commas between them. */
  readonly url: string;
  readonly username: string | null;
  readonly passwordFile: string | null;
  readonly caFile: string | null;
  readonly certFile: string | null;
  readonly keyFile: string | null;
}

export interface MqttLinkOptions {
  readonly broker: BrokerSettings;
  readonly clientId: string;
  readonly subscriptions: readonly string[];
  readonly qosOf: (subscription: string) => 0 | 1;
  /** Made anew for every connection. */
  readonly lastWill: () => { readonly topic: string; readonly payload: string };
  readonly onConnect: () => void;
  readonly onDisconnect: () => void;
  readonly onMessage: (topic: string, payload: Uint8Array) => void;
  readonly events: InternalEvents;
  /** 0 ≤ x < 1, for the jitter of the back-off. */
  readonly random: () => number;
}

export interface PublishOptions {
  readonly qos: 0 | 1;
  readonly retain: boolean;
}

export class MqttLink {
  private readonly options: MqttLinkOptions;
  private client: mqtt.MqttClient | null = null;
  private timer: NodeJS.Timeout | null = null;
  private attempts = 0;
  /** Counts what has failed: the next attempt goes to the next address. */
  private failures: number;
  private up = false;
  private stopped = true;

  constructor(options: MqttLinkOptions) {
    this.options = options;
    // Which is first is left to chance, so that many rigs spread.
    this.failures = Math.floor(options.random() * options.broker.url.split(',').length);
  }

  get connected(): boolean {
    return this.up;
  }

  /** Bytes handed to the socket that it has not taken yet. */
  get waitingBytes(): number {
    return this.client?.stream?.writableLength ?? 0;
  }

  start(): void {
    this.stopped = false;
    this.connect();
  }

  /**
   * Publishes now or not at all. True once the broker confirmed (QoS 1) or the socket took it (QoS 0);
   * false when there is no connection or it ended first.
   */
  publish(topic: string, payload: string, options: PublishOptions): Promise<boolean> {
    const { client } = this;
    if (!client || !this.up) return Promise.resolve(false);
    return new Promise(resolve => {
      // A client that is ended never calls back: its close settles what is open.
      const onClose = (): void => resolve(false);
      client.once('close', onClose);
      client.publish(topic, payload, options, error => {
        client.removeListener('close', onClose);
        if (error && this.up) this.options.events.emit('publishFailed', { topic, reason: error.message });
        resolve(!error);
      });
    });
  }

  /** Drops the connection; a new one follows. */
  reconnect(): void {
    this.client?.end(true);
    this.closed(this.client);
  }

  /** Ends for good: politely for `politeMs`, then anyhow. */
  async stop(politeMs: number): Promise<void> {
    this.stopped = true;
    if (this.timer) clearTimeout(this.timer);
    const { client } = this;
    if (!client) return;
    await new Promise<void>(resolve => {
      const force = setTimeout(() => {
        client.end(true);
        resolve();
      }, politeMs);
      client.end(false, {}, () => {
        clearTimeout(force);
        resolve();
      });
    });
    this.up = false;
    this.client = null;
  }

  private connect(): void {
    const { options } = this;
    this.attempts += 1;
    const addresses = options.broker.url.split(',');
    const url = addresses[this.failures % addresses.length]!;
    let client: mqtt.MqttClient;
    try {
      const will = options.lastWill();
      client = mqtt.connect(url, {
        ...this.credentials(),
        clientId: options.clientId,
        protocolVersion: 4,
        clean: true,
        keepalive: KEEPALIVE_S,
        connectTimeout: CONNECT_TIMEOUT_MS,
        reconnectPeriod: 0,
        queueQoSZero: false,
        resubscribe: false,
        messageIdProvider: new mqtt.UniqueMessageIdProvider(),
        will: { topic: will.topic, payload: Buffer.from(will.payload), qos: 1, retain: true },
      });
    } catch (error) {
      options.events.emit('brokerRefused', { reason: messageOf(error) });
      this.schedule();
      return;
    }
    this.client = client;
    client.setMaxListeners(0);
    client.on('error', error => options.events.emit('brokerRefused', { reason: messageOf(error) }));
    client.on('close', () => this.closed(client));
    client.on('message', (topic, payload) => {
      if (client === this.client) options.onMessage(topic, payload);
    });
    client.on('connect', () => {
      // Many small packets each way: without it a batch waits for the other side's delayed acknowledgement, 40 ms.
      if (client.stream instanceof Socket) client.stream.setNoDelay(true);
      this.attempts = 0;
      this.up = true;
      options.events.emit('brokerConnected', { url });
      for (const qos of [0, 1] as const) this.subscribe(client, qos, SUBSCRIBE_FIRST_MS);
      options.onConnect();
    });
  }

  /** A broker that refuses now (a cluster that elects who leads) is asked again; what is published goes out meanwhile. */
  private subscribe(client: mqtt.MqttClient, qos: 0 | 1, pauseMs: number): void {
    const { subscriptions, qosOf, events } = this.options;
    const filters = subscriptions.filter(filter => qosOf(filter) === qos);
    client.subscribe(filters, { qos }, error => {
      if (!error || client !== this.client || !client.connected) return;
      events.emit('publishFailed', { topic: 'subscribe', reason: error.message });
      const again = setTimeout(() => {
        this.subscribe(client, qos, Math.min(RECONNECT_MAX_MS, 2 * pauseMs));
      }, pauseMs);
      client.once('close', () => clearTimeout(again));
    });
  }

  private closed(client: mqtt.MqttClient | null): void {
    if (!client || client !== this.client || this.stopped) return;
    this.client = null;
    this.failures += 1;
    client.end(true);
    if (this.up) {
      this.up = false;
      this.options.events.emit('brokerLost');
      this.options.onDisconnect();
    }
    this.schedule();
  }

  private schedule(): void {
    if (this.stopped) return;
    const ceiling = Math.min(RECONNECT_MAX_MS, RECONNECT_FIRST_MS * 2 ** Math.min(this.attempts, 10));
    // Half fixed, half jitter: many rigs do not come back in step.
    const delay = ceiling * (0.5 + this.options.random() / 2);
    this.timer = setTimeout(() => this.connect(), Math.max(RECONNECT_FIRST_MS, delay));
  }

  /** Read anew for every attempt, so that a changed password or certificate needs no restart. */
  private credentials(): mqtt.IClientOptions {
    const { username, passwordFile, caFile, certFile, keyFile } = this.options.broker;
    return {
      ...(username === null ? {} : { username }),
      ...(passwordFile === null ? {} : { password: readFileSync(passwordFile, 'utf8').trimEnd() }),
      ...(caFile === null ? {} : { ca: readFileSync(caFile), minVersion: 'TLSv1.2' as const }),
      ...(certFile === null ? {} : { cert: readFileSync(certFile) }),
      ...(keyFile === null ? {} : { key: readFileSync(keyFile) }),
    };
  }
}

function messageOf(error: unknown): string {
  const { code } = error as { code?: unknown };
  if (NOT_LET_IN.includes(code)) return `the broker does not authorise this edge: ${ENROL_FIRST}`;
  if (error instanceof AggregateError) return error.errors.map(messageOf).join('; ');
  return error instanceof Error ? error.message : String(error);
}
