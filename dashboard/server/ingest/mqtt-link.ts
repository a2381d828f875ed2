/** The dashboard's one MQTT connection: keeps itself connected, subscribes anew each time, never queues. */
import { Socket } from 'node:net';
import type { IClientOptions, MqttClient } from 'mqtt';
import {
  DASHBOARD_TOPICS,
  type DashboardTopicKind,
  EDGE_TOPICS,
  type RigAddress,
  TOPIC_ROOT,
  topicOf,
} from '#core/topics/topics';
import type { ReportEvent } from '../internal-events.ts';
import { withoutSecret } from '../without-secret.ts';

/** Beside the address: user and secret, or certificate, key and whom to trust (PEM). */
export interface LinkCredentials {
  readonly username?: string;
  readonly password?: string;
  readonly ca?: string;
  readonly cert?: string;
  readonly key?: string;
}

export interface MqttLinkOptions {
  /** Known when start() is called; several addresses of one cluster stand with commas between them. */
  readonly url: () => string;
  /** What to hear; everything that edges say by default. */
  readonly subscriptions?: readonly string[];
  /** QoS of the subscriptions; that of records by default. */
  readonly qos?: 0 | 1;
  /** Left out: none. */
  readonly credentials?: () => LinkCredentials;
  readonly store: string;
  /** A few random letters, so that two dashboards do not take each other's place. */
  readonly instance: string;
  readonly report: ReportEvent;
  /** 0 ≤ x < 1, spreads reconnects. */
  readonly random: () => number;
  readonly onMessage: (topic: string, payload: Uint8Array) => void;
  /** Connected and subscribed: time to publish every retained message that is ours. */
  readonly onConnected: () => void;
}

/** Everything an edge says, of every site and rig. */
export const SUBSCRIPTION = 'girthlog/1/+/+/#';
/** The same without what is for stores alone. */
export const ONLOOKER_SUBSCRIPTIONS = Object.keys(EDGE_TOPICS)
  .filter(kind => kind !== 'record' && kind !== 'clock')
  .map(kind => `${TOPIC_ROOT}/+/+/${kind}`);
const RECONNECT_FIRST_MS = 200;
const RECONNECT_MAX_MS = 10_000;

export class MqttLink {
  private readonly options: MqttLinkOptions;
  private client: MqttClient | null = null;
  private pauseMs = RECONNECT_FIRST_MS;
  private subscribed = false;

  constructor(options: MqttLinkOptions) {
    this.options = options;
  }

  get connected(): boolean {
    return this.subscribed && (this.client?.connected ?? false);
  }

  /** What connecting takes, while there is nothing to connect to yet. */
  async load(): Promise<void> {
    await import('mqtt');
  }

  async start(): Promise<void> {
    const { store, instance, report, onMessage } = this.options;
    const url = this.options.url();
    const { connect, UniqueMessageIdProvider } = await import('mqtt');
    const settings: IClientOptions = {
      ...this.options.credentials?.(),
      ...(url.startsWith('mqtts:') ? { minVersion: 'TLSv1.2' as const } : {}),
      clientId: `girthlog-${store}-${instance}`,
      protocolVersion: 4,
      clean: true,
      keepalive: 10,
      connectTimeout: 5000,
      reconnectPeriod: RECONNECT_FIRST_MS,
      // A broker that refuses now may let it in later: by itself the client would never ask again.
      reconnectOnConnackError: true,
      queueQoSZero: false,
      resubscribe: false,
      messageIdProvider: new UniqueMessageIdProvider(),
    };
    const client = connectToAny(connect, url, settings, this.options.random());
    this.client = client;
    client.on('connect', () => {
      // Many small packets each way: without it every acknowledgement waits for the other side's delayed one, 40 ms.
      if (client.stream instanceof Socket) client.stream.setNoDelay(true);
      this.subscribe(client);
    });
    client.on('message', (topic, payload) => onMessage(topic, payload));
    client.on('close', () => {
      if (this.subscribed) report('brokerLost', { url: withoutSecret(url) });
      this.subscribed = false;
      this.pauseMs = Math.min(RECONNECT_MAX_MS, this.pauseMs * 2);
      client.options.reconnectPeriod = this.pauseMs * (0.75 + this.options.random() / 2);
    });
    client.on('error', error => report('brokerError', { url: withoutSecret(url), reason: error.message }));
  }

  /**
   * True when handed to the connection; false when there is none, and the next connect says it again. `done` when the
   * broker has confirmed it (QoS 1), or it was given up.
   */
  publish(
    address: RigAddress,
    kind: DashboardTopicKind,
    item: string | null,
    message: unknown,
    done: () => void = () => {},
  ): boolean {
    if (!this.connected || !this.client) return false;
    const { qos, retain } = DASHBOARD_TOPICS[kind];
    const topic = topicOf(address, kind, item);
    this.client.publish(topic, JSON.stringify(message), { qos, retain }, error => {
      if (error) this.options.report('publishFailed', { topic, reason: error.message });
      done();
    });
    return true;
  }

  async stop(): Promise<void> {
    const { client } = this;
    this.subscribed = false;
    if (!client) return;
    // Waits for what is in flight, but not for a broker that is gone.
    await new Promise<void>(resolve => {
      const timer = setTimeout(() => client.end(true, {}, () => resolve()), 1000);
      client.end(!client.connected, {}, () => {
        clearTimeout(timer);
        resolve();
      });
    });
  }

  private subscribe(client: MqttClient): void {
    const subscriptions = [...(this.options.subscriptions ?? [SUBSCRIPTION])];
    client.subscribe(subscriptions, { qos: this.options.qos ?? EDGE_TOPICS.record.qos }, (error, granted) => {
      if (error || granted?.some(({ qos }) => qos > 2)) {
        this.options.report('brokerError', {
          reason: `subscription refused: ${error?.message ?? subscriptions.join(', ')}`,
        });
        // Closing brings the growing pause; without a subscription the connection is worth nothing.
        client.stream.end();
        return;
      }
      this.subscribed = true;
      this.pauseMs = RECONNECT_FIRST_MS;
      client.options.reconnectPeriod = RECONNECT_FIRST_MS;
      this.options.report('brokerConnected', { url: withoutSecret(this.options.url()) });
      this.options.onConnected();
    });
  }
}

/** Each attempt goes to the next address; which is first is left to chance, so that many clients spread. */
function connectToAny(
  connect: typeof import('mqtt').connect,
  urls: string,
  settings: IClientOptions,
  random: number,
): MqttClient {
  const all = urls.split(',');
  const at = Math.floor(random * all.length);
  const [first = '', ...others] = [...all.slice(at), ...all.slice(0, at)];
  if (others.length === 0) return connect(first, settings);
  const { username, password } = all.map(text => new URL(text)).find(url => url.username !== '') ?? {};
  // An IPv6 host comes out of URL in brackets, which a socket does not take.
  const servers = [first, ...others].map(text => {
    const { protocol, hostname, port } = new URL(text);
    const isTls = protocol === 'mqtts:';
    return {
      host: hostname.replace(/^\[(.*)\]$/, '$1'),
      port: Number(port || (isTls ? 8883 : 1883)),
      protocol: isTls ? ('mqtts' as const) : ('mqtt' as const),
    };
  });
  return connect(first, {
    ...settings,
    servers,
    // Of one cluster: what is said with one address holds for all.
    ...(username ? { username: decodeURIComponent(username) } : {}),
    ...(password ? { password: decodeURIComponent(password) } : {}),
  });
}
