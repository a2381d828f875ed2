/**
 * The embedded MQTT 3.1.1 broker: aedes behind limits, so that no anonymous socket can make it grow.
 * Retained messages and subscriptions live in memory; whoever owns a retained message publishes it again on connect.
 */
import { createServer, type Server, type Socket } from 'node:net';
import { Aedes, type Client } from 'aedes';
import { isTopicFilter } from '#core/topics/filters';
import { parseTopic } from '#core/topics/topics';
import { LengthGuard } from './length-guard.ts';
import type { BrokerStart } from './protocol.ts';

export const MAX_PACKET_BYTES = 65_536;
const CONNECT_TIMEOUT_MS = 5000;
const DRAIN_TIMEOUT_MS = 10_000;
const KEEPALIVE_LIMIT_S = 120;
/** Subscriptions one client may hold. */
const MAX_SUBSCRIPTIONS = 32;

type Refused = (cause: string, detail: string) => void;

export class EmbeddedBroker {
  private readonly options: BrokerStart;
  private readonly refused: Refused;
  private readonly rigs = new Set<string>();
  private broker: Aedes | null = null;
  private server: Server | null = null;
  private readonly sockets = new Set<Socket>();

  constructor(options: BrokerStart, refused: Refused) {
    this.options = options;
    this.refused = refused;
  }

  /** Resolves with the port; rejects with the system's error when no port could be had. */
  async start(): Promise<number> {
    const broker = await Aedes.createBroker({
      connectTimeout: CONNECT_TIMEOUT_MS,
      drainTimeout: DRAIN_TIMEOUT_MS,
      keepaliveLimit: KEEPALIVE_LIMIT_S,
      maxClientsIdLength: 64,
      maxTopicLevels: 10,
      preConnect: (_client, packet, done) => {
        if (packet.clean === true) return done(null, true);
        this.refused('persistentSession', packet.clientId);
        done(new Error('clean session required'), false);
      },
      authorizePublish: (client, packet, done) => {
        const cause = this.causeToRefuse(packet.topic);
        if (cause === null) return done(null);
        this.refused(cause, `${client?.id ?? ''} ${packet.topic}`.slice(0, 200));
        done(new Error(cause));
      },
      authorizeSubscribe: (client, subscription, done) => {
        const held = Object.keys((client as Client & { subscriptions: object }).subscriptions).length;
        if (isTopicFilter(subscription.topic) && held < MAX_SUBSCRIPTIONS) return done(null, subscription);
        this.refused('subscription', client.id);
        done(null, null);
      },
    });
    this.broker = broker;
    broker.on('clientError', (client, error) =>
      this.refused('clientError', `${client.id}: ${error.message}`),
    );
    broker.on('connectionError', (_client, error) => this.refused('connectionError', error.message));
    this.server = createServer({ noDelay: true }, socket => this.admit(socket));
    return await this.listen(this.server);
  }

  async stop(): Promise<void> {
    const { server, broker } = this;
    const closed = new Promise<void>(resolve => (server ? server.close(() => resolve()) : resolve()));
    for (const socket of this.sockets) socket.destroy();
    await new Promise<void>(resolve => (broker ? broker.close(() => resolve()) : resolve()));
    await closed;
  }

  /** Only our topics, and those of a bounded number of rigs: retained messages cannot fill the memory. */
  private causeToRefuse(topic: string): string | null {
    const parsed = parseTopic(topic);
    if (!parsed) return 'topic';
    const key = `${parsed.site}/${parsed.rig}`;
    if (this.rigs.has(key)) return null;
    if (this.rigs.size >= this.options.maxRigs) return 'rigLimit';
    this.rigs.add(key);
    return null;
  }

  private admit(socket: Socket): void {
    socket.on('error', () => socket.destroy());
    if (this.sockets.size >= this.options.maxConnections) {
      this.refused('connectionLimit', socket.remoteAddress ?? '');
      socket.destroy();
      return;
    }
    this.sockets.add(socket);
    socket.on('close', () => this.sockets.delete(socket));
    const guard = new LengthGuard(MAX_PACKET_BYTES);
    // Bytes reach the broker only after the guard has seen them.
    const push = socket.push.bind(socket);
    socket.push = (chunk: unknown, encoding?: BufferEncoding) => {
      if (chunk instanceof Uint8Array && !guard.accept(chunk)) {
        this.refused('packetLength', socket.remoteAddress ?? '');
        socket.destroy();
        return false;
      }
      return push(chunk, encoding);
    };
    this.broker?.handle(socket);
  }

  private async listen(server: Server): Promise<number> {
    const { host, port, tries } = this.options;
    for (let attempt = 0; ; attempt++) {
      try {
        await listenOn(server, host, port + attempt);
        const address = server.address();
        return typeof address === 'object' && address ? address.port : port;
      } catch (error) {
        const taken = (error as NodeJS.ErrnoException).code === 'EADDRINUSE';
        if (!taken || attempt >= tries || port + attempt >= 65_535) throw error;
      }
    }
  }
}

function listenOn(server: Server, host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    const failed = (error: Error): void => {
      server.off('listening', ready);
      reject(error);
    };
    const ready = (): void => {
      server.off('error', failed);
      resolve();
    };
    server.once('error', failed);
    server.once('listening', ready);
    server.listen(port, host);
  });
}
