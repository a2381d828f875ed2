/**
 * Everything the edge says and hears over MQTT. Two lanes share one connection: `live` for the eye (newest
 * wins, dropped when there is no connection) and `record` (record-lane.ts). Retained messages are kept here
 * as they stand and sent again on every connection.
 */
import type { Alarms } from '#core/messages/alarms';
import type { ClockPing } from '#core/messages/clock-ping';
import type { Origin } from '#core/messages/common';
import type { RigEvent } from '#core/messages/event';
import type { Health } from '#core/messages/health';
import type { Info } from '#core/messages/info';
import type { Live } from '#core/messages/live';
import type { PassMessage } from '#core/messages/pass';
import type { Status } from '#core/messages/status';
import { edgeClientId } from '#core/topics/access';
import { EDGE_TOPICS, type EdgeTopicKind, type RigAddress, topicOf } from '#core/topics/topics';
import type { InternalEvents } from '../internal-events.ts';
import type { Outbox } from '../outbox/outbox-client.ts';
import { type AckVerdict, StoreError } from '../outbox/outbox-types.ts';
import type { Rewind } from './ack-teller.ts';
import { type InboxHandlers, inboxQos, inboxSubscriptions, receive } from './inbox.ts';
import { type BrokerSettings, MqttLink } from './mqtt-link.ts';
import { RecordLane } from './record-lane.ts';

/** A socket that holds more than this is too slow for another live summary. */
const LIVE_WAITING_BYTES = 64 * 1024;
const STOP_POLITE_MS = 2000;

export interface PublisherOptions {
  readonly address: RigAddress;
  readonly origin: Origin;
  readonly broker: BrokerSettings;
  readonly outbox: Outbox;
  readonly stream: string;
  readonly committedSeq: number;
  readonly cursors: Readonly<Record<string, number>>;
  readonly events: InternalEvents;
  readonly monotonicMs: () => number;
  readonly recordNowUs: () => number;
  readonly utcNow: () => string;
  readonly random: () => number;
  readonly handlers: Omit<InboxHandlers, 'onAck'>;
  /** A claim was refused for this reason: worth a durable event. */
  readonly onAckRefused: (store: string, verdict: AckVerdict) => void;
  readonly onRewound: (rewind: Rewind) => void;
  readonly onConnection: (connected: boolean) => void;
  readonly onStoreFailed: (error: unknown) => void;
}

const VERDICT_EVENTS = {
  accepted: 'ackAccepted',
  repeated: 'ackRepeated',
  unlisted: 'ackUnlisted',
  wrongStream: 'ackWrongStream',
  rewound: 'ackRewound',
  stale: 'ackStale',
  future: 'ackFuture',
  wrongHead: 'ackWrongHead',
} as const satisfies Record<AckVerdict, string>;

export class Publisher {
  readonly lane: RecordLane;
  private readonly options: PublisherOptions;
  private readonly link: MqttLink;
  private readonly retained = new Map<'info' | 'health' | 'alarms', string>();
  private newestLive: Live | null = null;
  private liveOnItsWay = false;

  constructor(options: PublisherOptions) {
    this.options = options;
    const { address, events } = options;
    const handlers: InboxHandlers = { ...options.handlers, onAck: ack => void this.judge(ack) };
    this.link = new MqttLink({
      broker: options.broker,
      clientId: edgeClientId(address),
      subscriptions: inboxSubscriptions(address),
      qosOf: inboxQos,
      lastWill: () => ({ topic: topicOf(address, 'status'), payload: this.status('lost') }),
      onConnect: () => this.onConnect(),
      onDisconnect: () => {
        this.lane.disconnect();
        options.onConnection(false);
      },
      onMessage: (topic, payload) => receive(topic, payload, address, handlers, events),
      events,
      random: options.random,
    });
    this.lane = new RecordLane({
      outbox: options.outbox,
      stream: options.stream,
      origin: options.origin,
      committedSeq: options.committedSeq,
      cursors: options.cursors,
      publish: record => this.send('record', JSON.stringify(record)),
      reconnect: () => this.link.reconnect(),
      onReadFailed: options.onStoreFailed,
      monotonicMs: options.monotonicMs,
      recordNowUs: options.recordNowUs,
      events,
    });
  }

  get connected(): boolean {
    return this.link.connected;
  }

  start(): void {
    this.link.start();
  }

  /** Says `stopped` and ends the connection; at most about 2 s. */
  async stop(): Promise<void> {
    this.lane.disconnect();
    if (this.link.connected) {
      const said = this.send('status', this.status('stopped'));
      await Promise.race([said, new Promise(resolve => setTimeout(resolve, STOP_POLITE_MS / 2).unref())]);
    }
    await this.link.stop(STOP_POLITE_MS / 2);
  }

  live(message: Live): void {
    if (!this.link.connected) return;
    if (this.liveOnItsWay || this.link.waitingBytes > LIVE_WAITING_BYTES) {
      if (this.newestLive) this.options.events.emit('liveDropped');
      this.newestLive = message;
      return;
    }
    this.newestLive = null;
    this.liveOnItsWay = true;
    void this.send('live', JSON.stringify(message)).then(() => {
      this.liveOnItsWay = false;
      const next = this.newestLive;
      if (next) this.live(next);
    });
  }

  info(message: Info): void {
    this.keep('info', JSON.stringify(message));
  }

  health(message: Health): void {
    this.keep('health', JSON.stringify(message));
  }

  alarms(message: Alarms): void {
    this.keep('alarms', JSON.stringify(message));
  }

  /** Tells of committed events and passes as they happen; without a connection the record alone has them. */
  announce(events: readonly RigEvent[], passes: readonly PassMessage[]): void {
    if (!this.link.connected) {
      const count = events.length + passes.length;
      if (count > 0) this.options.events.emit('announcementDropped', {}, count);
      return;
    }
    for (const event of events) void this.send('event', JSON.stringify(event));
    for (const pass of passes) void this.send('pass', JSON.stringify(pass));
  }

  /** Asks the stores for the time, now or not at all: a question that waited would measure the waiting. */
  askTime(ping: ClockPing): boolean {
    if (!this.link.connected || this.link.waitingBytes > 0) return false;
    void this.send('clock', JSON.stringify(ping));
    return true;
  }

  private onConnect(): void {
    void this.send('status', this.status('ready'));
    for (const [kind, payload] of this.retained) void this.send(kind, payload);
    this.lane.connect();
    this.options.onConnection(true);
  }

  private async judge(claim: { store: string; stream: string; upto: number; head: string }): Promise<void> {
    try {
      const { store, stream, upto, head } = claim;
      const verdict = await this.options.outbox.acknowledge({ store, stream, upto, head });
      this.options.events.emit(VERDICT_EVENTS[verdict], { store, upto });
      if (verdict === 'accepted') this.lane.acknowledged(store, upto);
      else if (verdict === 'rewound') await this.rewind(store, upto);
      else if (verdict !== 'repeated') this.options.onAckRefused(store, verdict);
    } catch (error) {
      // On a full disk a cursor stays where it is; the store says it again with its next commit.
      if (error instanceof StoreError && error.kind === 'full') {
        this.options.events.emit('storeRetry', { reason: error.message });
        return;
      }
      this.options.onStoreFailed(error);
    }
  }

  /** Everything the store has lost is sent again; what is not whole any more is told. */
  private async rewind(store: string, upto: number): Promise<void> {
    const before = this.lane.positions()[store] ?? upto;
    this.lane.rewound(store, upto);
    const reduced = await this.options.outbox.reducedFrom(upto + 1);
    this.options.onRewound({ store, upto, before, reduced });
  }

  private keep(kind: 'info' | 'health' | 'alarms', payload: string): void {
    this.retained.set(kind, payload);
    if (this.link.connected) void this.send(kind, payload);
  }

  private send(kind: EdgeTopicKind, payload: string): Promise<boolean> {
    return this.link.publish(topicOf(this.options.address, kind), payload, EDGE_TOPICS[kind]);
  }

  private status(state: Status['state']): string {
    const message: Status = { origin: this.options.origin, state, at: this.options.utcNow() };
    return JSON.stringify(message);
  }
}
