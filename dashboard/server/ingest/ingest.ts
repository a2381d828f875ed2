/** topic → decode → dedupe → store → live, in that order. */
import { createHash } from 'node:crypto';
import type { ClockPing } from '#core/messages/clock-ping';
import type { RigAddress } from '#core/topics/topics';
import type { ReportEvent } from '../internal-events.ts';
import type { Announcements } from '../live/announcements.ts';
import type { RigBoard } from '../live/rig-board.ts';
import type { StreamHub } from '../live/stream-hub.ts';
import type { VerifiedRecord } from '../store/store.ts';
import { codeOf, storeErrorKind } from '../store/store-errors.ts';
import { decodeMessage } from './decode.ts';
import type { RecordIntake } from './record-intake.ts';
import type { EdgeMessage } from './topic-schemas.ts';

export interface IngestOptions {
  readonly store: string;
  readonly report: ReportEvent;
  readonly board: RigBoard;
  readonly intake: RecordIntake;
  readonly hub: StreamHub;
  readonly announcements: Announcements;
  /** `receivedMs`: when the question came, UTC in ms since 1970. */
  readonly answerClock: (address: RigAddress, ping: ClockPing, receivedMs: number) => void;
  readonly utcMs: () => number;
  /** A dashboard of training: what says it is real is not for it. */
  readonly refusesReal?: boolean;
  readonly onStoreError: (error: Error) => void;
}

export class Ingest {
  private readonly options: IngestOptions;

  constructor(options: IngestOptions) {
    this.options = options;
  }

  /** Any topic, any bytes: handled or counted under a name, never thrown. */
  readonly receive = (topic: string, payload: Uint8Array): void => {
    try {
      this.take(topic, payload);
    } catch (error) {
      this.storeFailed(error, topic);
    }
  };

  /** A new rig that cannot be given its place now, or a question about a stream: the next message tries again. */
  private storeFailed(error: unknown, topic: string): void {
    if (storeErrorKind(error) === null) throw error;
    this.options.report('storeFailed', { code: codeOf(error), topic });
    this.options.onStoreError(error as Error);
  }

  private take(topic: string, payload: Uint8Array): void {
    const { report, board, intake, store } = this.options;
    const receivedMs = this.options.utcMs();
    const decoded = decodeMessage(topic, payload);
    if (!decoded.ok) {
      report(decoded.event, { detail: decoded.detail });
      return;
    }
    const { address, edge } = decoded;
    if (!edge) return;
    if (this.options.refusesReal && edge.message.origin === 'real') {
      report('originRefused', { ...address, kind: edge.kind });
      return;
    }
    if (edge.kind === 'info' && (edge.message.site !== address.site || edge.message.rig !== address.rig)) {
      report('payloadInvalid', { detail: `${topic} names another rig` });
      return;
    }
    if (!board.admit(address, edge.message.origin, edge.kind === 'info')) return;
    switch (edge.kind) {
      case 'record':
        intake.offer(address, edge.message);
        break;
      case 'clock':
        this.options.answerClock(address, edge.message, receivedMs);
        break;
      case 'event':
        this.announceEvent(address, edge.message);
        break;
      case 'pass':
        if (edge.message.site !== address.site || edge.message.rig !== address.rig) {
          report('passForeign', { passId: edge.message.passId });
          break;
        }
        this.announcePass(edge.message);
        break;
      default: {
        board.take(address, edge);
        if (edge.kind !== 'health') break;
        const acknowledged = edge.message.cursors[store];
        if (acknowledged === undefined) break;
        intake.hear(address, edge.message, acknowledged).catch(error => this.storeFailed(error, topic));
      }
    }
  }

  /** A record is stored: whoever has not heard of its events and passes on their own topics hears it now. */
  readonly stored = ({ site, rig, body }: VerifiedRecord): void => {
    if (!body) return;
    for (const event of body.events) this.announceEvent({ site, rig }, event);
    for (const pass of body.passes) {
      if (pass.site === site && pass.rig === rig) this.announcePass(pass);
    }
  };

  private announceEvent(address: RigAddress, event: Message<'event'>): void {
    const { site, rig } = address;
    const told = this.options.announcements.tell('event', `event ${site}/${rig} ${event.id}`, {
      site,
      rig,
      event,
    });
    if (told) this.options.hub.announce(told);
  }

  private announcePass(pass: Message<'pass'>): void {
    // A pass is told again whenever it says something new.
    const content = createHash('sha256').update(JSON.stringify(pass)).digest('base64');
    const told = this.options.announcements.tell('pass', `pass ${pass.site}/${pass.rig} ${content}`, pass);
    if (told) this.options.hub.announce(told);
  }
}

type Message<K extends EdgeMessage['kind']> = Extract<EdgeMessage, { kind: K }>['message'];
