/**
 * One of several ingest workers: topic → decode → verify → PostgreSQL → ack. It keeps nothing of its own: what it has not
 * committed it has not acknowledged, so the edges send it again, to whichever worker hears it then.
 */
import { randomBytes } from 'node:crypto';
import type { TimeAnswer } from '#core/messages/time-answer';
import type { RigAddress } from '#core/topics/topics';
import { decodeMessage } from '../ingest/decode.ts';
import { ackOf } from '../ingest/dispatch.ts';
import { MqttLink } from '../ingest/mqtt-link.ts';
import { RecordIntake } from '../ingest/record-intake.ts';
import type { EdgeMessage } from '../ingest/topic-schemas.ts';
import type { ReportEvent } from '../internal-events.ts';
import { givenCredentials } from '../machines/external-credentials.ts';
import { InfluxProjection } from '../projection/influx-projection.ts';
import { influxClient } from '../projection/open-influx.ts';
import { AckTeller } from './ack-teller.ts';
import type { IngestSettings } from './ingest-settings.ts';
import { PostgresClient } from './postgres-client.ts';
import { postgresErrorKind } from './postgres-errors.ts';
import { PostgresFeed } from './postgres-feed.ts';
import { PostgresRecordStore } from './postgres-record-store.ts';
import { isInShare, subscriptionsOf } from './share.ts';

export interface IngestWorkerOptions {
  readonly settings: IngestSettings;
  readonly report: ReportEvent;
  /** A mistake of ours: the state is unknown, the program has to end. */
  readonly onFatal: (error: Error) => void;
}

type Health = Extract<EdgeMessage, { kind: 'health' }>['message'];

export class IngestWorker {
  private readonly options: IngestWorkerOptions;
  private readonly database: PostgresClient;
  private readonly store: PostgresRecordStore;
  private readonly link: MqttLink;
  private readonly intake: RecordIntake;
  private readonly acks: AckTeller;
  private projection: InfluxProjection | null = null;
  private feed: PostgresFeed | null = null;
  private paused: Error | null = null;

  constructor(options: IngestWorkerOptions) {
    this.options = options;
    const { settings, report } = options;
    const credentials = givenCredentials(settings);
    this.database = new PostgresClient(settings.records);
    this.store = new PostgresRecordStore(this.database);
    this.link = new MqttLink({
      url: () => settings.broker,
      subscriptions: subscriptionsOf(settings),
      credentials: () => credentials,
      // What is not heard is sent again until it is acknowledged: the broker's promise would only cost.
      qos: 0,
      store: settings.store,
      instance: randomBytes(4).toString('hex'),
      report,
      random: Math.random,
      onMessage: (topic, payload) => this.receive(topic, payload),
      onConnected: () => void this.tellAll(),
    });
    this.acks = new AckTeller({
      publish: (state, done) =>
        this.link.publish(state, 'ack', settings.store, ackOf(settings.store, state), done),
    });
    this.intake = new RecordIntake({
      store: this.store,
      errorKind: postgresErrorKind,
      report,
      now: () => new Date(),
      monotonicMs: () => performance.now(),
      onStored: () => {},
      onStream: state => this.acks.tell(state),
      onPaused: error => {
        this.paused = error;
      },
      onFatal: options.onFatal,
    });
  }

  /** Resolves once the tables are there; the broker may come later. Throws what the database says. */
  async start(): Promise<void> {
    const { settings, report } = this.options;
    await this.database.open();
    const steps = await this.store.prepare();
    if (steps > 0) report('storeMigrated', { steps });
    await this.link.start();
    if (settings.samples !== null) await this.startSamples(new URL(settings.samples));
  }

  async stop(): Promise<void> {
    await this.intake.stop();
    await this.link.stop();
    await this.projection?.stop();
    await this.database.close();
  }

  /** Why it does not take records now; null when it does. */
  notReady(): string | null {
    if (!this.link.connected) return 'no connection to the broker';
    return this.paused && `the database takes nothing: ${this.paused.message}`;
  }

  figures(): { waiting: number; samplesBehind: number | null } {
    return { waiting: this.intake.waitingCount, samplesBehind: this.feed?.behind ?? null };
  }

  private async startSamples(url: URL): Promise<void> {
    const { settings, report } = this.options;
    const { client, database } = await influxClient(url);
    const feed = new PostgresFeed(this.database, `${url.host}/${database}`, settings);
    this.feed = feed;
    this.projection = new InfluxProjection({ client, database, feed, report, now: () => new Date() });
    this.projection.start();
  }

  /** The broker may have forgotten everything: said again for the newest stream of every rig of the share. */
  private async tellAll(): Promise<void> {
    this.acks.connected();
    try {
      for (const state of await this.store.newestStreams()) {
        if (isInShare(this.options.settings, state)) this.acks.tell(state);
      }
    } catch (error) {
      this.failed(error);
    }
  }

  /** Any topic, any bytes: handled or counted under a name, never thrown. */
  private receive(topic: string, payload: Uint8Array): void {
    const receivedMs = Date.now();
    const decoded = decodeMessage(topic, payload);
    if (!decoded.ok) {
      this.options.report(decoded.event, { detail: decoded.detail });
      return;
    }
    const { address, edge } = decoded;
    if (edge?.kind === 'record') this.intake.offer(address, edge.message);
    else if (edge?.kind === 'health') this.hear(address, edge.message);
    else if (edge?.kind === 'clock') {
      const { origin, id } = edge.message;
      const { store } = this.options.settings;
      const answer: TimeAnswer = { origin, store, id, receivedMs, sentMs: Date.now() };
      this.link.publish(address, 'time', store, answer);
    }
  }

  private hear(address: RigAddress, health: Health): void {
    const acknowledged = health.cursors[this.options.settings.store];
    if (acknowledged === undefined) return;
    this.intake.hear(address, health, acknowledged).catch(error => this.failed(error));
  }

  private failed(error: unknown): void {
    if (postgresErrorKind(error) === null) this.options.onFatal(error as Error);
    else this.options.report('storeFailed', { reason: (error as Error).message });
  }
}
