/**
 * The embedded MQTT 3.1.1 broker: aedes behind limits, so that no anonymous socket can make it grow, and behind the
 * table of who may say and hear what (shared-core/topics/access.ts).
 * Retained messages and subscriptions live in memory; whoever owns a retained message publishes it again on connect.
 *
 * A message that its sender may not publish is confirmed and dropped, as other brokers do in MQTT 3.1.1, which has no
 * answer for "no": closing the connection would only bring it back with the same message.
 */
import type { Socket } from 'node:net';
import { TLSSocket } from 'node:tls';
import { Aedes, type Client } from 'aedes';
import { mayPublish, mayReceive, maySubscribe } from '#core/topics/access';
import { parseTopic, TOPIC_ROOT } from '#core/topics/topics';
import { AccessGate, type Admitted, type Shown } from './access-gate.ts';
import { BrokerListeners } from './broker-listeners.ts';
import {
  type BrokerAccess,
  type BrokerStart,
  type BrokerTls,
  MAX_PACKET_BYTES,
  type Trespass,
} from './protocol.ts';
import { TellLimiter } from './tell-limiter.ts';

const CONNECT_TIMEOUT_MS = 5000;
const DRAIN_TIMEOUT_MS = 10_000;
const KEEPALIVE_LIMIT_S = 120;
/** Subscriptions one client may hold. */
const MAX_SUBSCRIPTIONS = 32;
const FLUSH_MS = 1000;
/** Nobody may subscribe to it. */
const NOWHERE = 'refused';

export interface BrokerTold {
  readonly refused: (cause: string, detail: string, count: number) => void;
  readonly trespass: (trespass: Trespass, count: number) => void;
}

interface ClientState extends Admitted {
  /** Checked when it connected; said when the connection ends, also one that was ended for it. */
  readonly willTopic: string | null;
  isRevoked: boolean;
  /** The topic it last published to and may: most clients repeat a few. */
  lastTopic: string;
}

export class EmbeddedBroker {
  private readonly options: BrokerStart;
  private readonly gate: AccessGate;
  private readonly rigs = new Set<string>();
  private readonly states = new WeakMap<Client, ClientState>();
  private readonly connected = new Set<Client>();
  private readonly connecting = new WeakMap<Client, { clientId: string; willTopic: string | null }>();
  private readonly refusals: TellLimiter<{ cause: string; detail: string }>;
  private readonly trespasses: TellLimiter<Trespass>;
  private broker: Aedes | null = null;
  private listeners: BrokerListeners | null = null;
  private flusher: NodeJS.Timeout | null = null;

  constructor(options: BrokerStart, told: BrokerTold) {
    this.options = options;
    this.gate = new AccessGate(options.access);
    const nowMs = (): number => performance.now();
    this.refusals = new TellLimiter(({ cause, detail }, count) => told.refused(cause, detail, count), nowMs);
    this.trespasses = new TellLimiter(told.trespass, nowMs);
  }

  /** Resolves with the ports; rejects with the system's error when none could be had. */
  async start(): Promise<{ port: number; innerPort: number }> {
    const broker = await Aedes.createBroker({
      connectTimeout: CONNECT_TIMEOUT_MS,
      drainTimeout: DRAIN_TIMEOUT_MS,
      // No queue of messages between clients: taken one inside the other when its readers have gone, a long one
      // overflows the stack and ends the broker. A slow reader holds back who publishes either way.
      concurrency: 0,
      keepaliveLimit: KEEPALIVE_LIMIT_S,
      maxClientsIdLength: 64,
      maxTopicLevels: 10,
      preConnect: (client, packet, done) => {
        const clientId = packet.clientId ?? '';
        this.connecting.set(client, { clientId, willTopic: packet.will?.topic ?? null });
        if (packet.clean === true) return done(null, true);
        this.refuse('persistentSession', clientId);
        done(new Error('clean session required'), false);
      },
      authenticate: (client, username, password, done) => {
        const isLetIn = this.letIn(client, username ?? null, password ?? null);
        done(
          isLetIn ? null : Object.assign(new Error('not authorised'), { returnCode: 5 as never }),
          isLetIn,
        );
      },
      authorizePublish: (client, packet, done) => {
        if (!this.mayPublish(client, packet)) {
          Object.assign(packet, { topic: NOWHERE, payload: Buffer.alloc(0), retain: false });
        }
        done(null);
      },
      authorizeSubscribe: (client, subscription, done) => {
        done(null, this.maySubscribe(client, subscription.topic) ? subscription : null);
      },
      authorizeForward: (client, packet) => (this.mayReceive(client, packet.topic) ? packet : null),
    });
    this.broker = broker;
    broker.on('clientDisconnect', client => this.connected.delete(client));
    broker.on('clientError', (client, error) => this.refuse('clientError', `${client.id}: ${error.message}`));
    broker.on('connectionError', (_client, error) => this.refuse('connectionError', error.message));
    this.listeners = new BrokerListeners({
      ...this.options,
      maxPacketBytes: MAX_PACKET_BYTES,
      refused: (cause, detail) => this.refuse(cause, detail),
      onSocket: socket => broker.handle(socket),
    });
    this.flusher = setInterval(() => {
      this.refusals.flush();
      this.trespasses.flush();
    }, FLUSH_MS);
    return await this.listeners.start();
  }

  async stop(): Promise<void> {
    const { listeners, broker } = this;
    if (this.flusher) clearInterval(this.flusher);
    const closed = listeners?.stop();
    await new Promise<void>(resolve => (broker ? broker.close(() => resolve()) : resolve()));
    await closed;
  }

  /** Who may connect has changed: whoever may not any more loses its connection now. */
  setAccess(access: BrokerAccess): void {
    this.gate.set(access);
    for (const client of this.connected) {
      const state = this.states.get(client);
      if (!state || this.gate.holds(state)) continue;
      this.refuse('revoked', state.credential?.identity ?? '');
      state.isRevoked = true;
      client.close();
    }
  }

  /** For connections from now on. */
  setTls(tls: BrokerTls): void {
    this.listeners?.setTls(tls);
  }

  private letIn(client: Client, username: string | null, password: Uint8Array | null): boolean {
    const { clientId = '', willTopic = null } = this.connecting.get(client) ?? {};
    const socket = client.conn as Socket;
    const shown: Shown = { certificate: certificateOf(socket), username, password, clientId, willTopic };
    const answer = this.gate.admit(shown);
    if ('principal' in answer) {
      // The inner listener is not encrypted: it is for the dashboard itself.
      const isInner = this.listeners?.isInner(socket) ?? false;
      if (!isInner || answer.principal.kind === 'store') {
        this.states.set(client, { ...answer, willTopic, isRevoked: false, lastTopic: '' });
        this.connected.add(client);
        return true;
      }
      this.refuse('notAuthorised', answer.credential?.identity ?? clientId);
    } else if (answer.cause === 'trespass') this.trespass(answer.trespass);
    else this.refuse('notAuthorised', answer.identity ?? clientId);
    return false;
  }

  private mayPublish(client: Client | null, packet: { readonly topic: string }): boolean {
    const state = client && this.states.get(client);
    if (!state) return false;
    const { topic } = packet;
    if (state.isRevoked) return topic === state.willTopic;
    if (topic === state.lastTopic) return true;
    const { principal, credential } = state;
    if (!mayPublish(principal, topic)) {
      if (credential === null) this.refuse('topic', `${client.id} ${topic}`);
      else this.trespass({ identity: credential.identity, what: 'publish', name: topic });
      return false;
    }
    if (principal.kind === 'anyone' && !this.hasRoomFor(topic)) {
      this.refuse('rigLimit', `${client.id} ${topic}`);
      return false;
    }
    state.lastTopic = topic;
    return true;
  }

  private maySubscribe(client: Client, filter: string): boolean {
    const state = this.states.get(client);
    if (!state || state.isRevoked) return false;
    const held = Object.keys((client as Client & { subscriptions: object }).subscriptions).length;
    if (maySubscribe(state.principal, filter) && held < MAX_SUBSCRIPTIONS) return true;
    if (state.credential === null || held >= MAX_SUBSCRIPTIONS) this.refuse('subscription', client.id);
    else this.trespass({ identity: state.credential.identity, what: 'subscribe', name: filter });
    return false;
  }

  private mayReceive(client: Client, topic: string): boolean {
    const state = this.states.get(client);
    if (!state || state.isRevoked) return false;
    const { principal } = state;
    return principal.kind === 'edge' ? mayReceive(principal, topic) : topic.startsWith(`${TOPIC_ROOT}/`);
  }

  /** Topics of a bounded number of rigs: retained messages cannot fill the memory. */
  private hasRoomFor(topic: string): boolean {
    const { site, rig } = parseTopic(topic)!;
    const key = `${site}/${rig}`;
    if (this.rigs.has(key)) return true;
    if (this.rigs.size >= this.options.maxRigs) return false;
    this.rigs.add(key);
    return true;
  }

  private refuse(cause: string, detail: string): void {
    const short = detail.slice(0, 200);
    this.refusals.say(`${cause} ${short}`, { cause, detail: short });
  }

  private trespass(trespass: Trespass): void {
    const name = trespass.name.slice(0, 200);
    this.trespasses.say(`${trespass.identity} ${trespass.what} ${name}`, { ...trespass, name });
  }
}

/** Of a client certificate that our authority has signed. */
function certificateOf(socket: Socket): Shown['certificate'] {
  if (!(socket instanceof TLSSocket) || !socket.authorized) return null;
  const { subject, serialNumber } = socket.getPeerCertificate();
  const commonName = subject?.CN;
  return typeof commonName === 'string' ? { commonName, serial: serialNumber.toUpperCase() } : null;
}
