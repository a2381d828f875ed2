/**
 * What the dashboard owes each edge, as retained messages: its store's ack, the assignment, its procedure,
 * and how changes along the weld are called.
 */
import type { Ack } from '#core/messages/ack';
import type { ClockPing } from '#core/messages/clock-ping';
import type { ProcedureMessage } from '#core/messages/procedure-message';
import type { TimeAnswer } from '#core/messages/time-answer';
import type { Watch } from '#core/messages/watch';
import type { RigAddress } from '#core/topics/topics';
import type { RigBoard } from '../live/rig-board.ts';
import type { DashboardStore, StreamState } from '../store/store.ts';
import { currentSettings } from '../watch/current-settings.ts';
import type { MqttLink } from './mqtt-link.ts';

export interface DispatchOptions {
  readonly store: DashboardStore;
  readonly storeName: string;
  readonly board: RigBoard;
  readonly link: MqttLink;
  /** Edges count on this store: it says what it has, and what time it is. */
  readonly speaksToEdges: boolean;
  /** UTC in ms since 1970, with fractions. */
  readonly utcMs: () => number;
}

export class Dispatch {
  private readonly options: DispatchOptions;

  constructor(options: DispatchOptions) {
    this.options = options;
  }

  /** The broker may have forgotten everything: say it all again. */
  readonly publishAll = (): void => {
    for (const rig of this.options.board.list()) {
      this.publishAssignment(rig);
      this.publishWatch(rig);
      const state = this.options.store.newestStream(rig);
      if (state) this.publishAck(state);
    }
  };

  /** What is committed here; said again for every batch, since an edge may have missed the last one. */
  readonly publishAck = (state: StreamState): void => {
    const { link, storeName, speaksToEdges } = this.options;
    if (speaksToEdges) link.publish(state, 'ack', storeName, ackOf(storeName, state));
  };

  /** The settings that somebody chose; as shipped an edge has them already. */
  readonly publishWatch = (address: RigAddress): void => {
    const { store, board, link } = this.options;
    const { settings, changed } = currentSettings(store);
    if (!changed) return;
    const { entryId: id, at, author } = changed;
    const message: Watch = { origin: board.originOf(address), id, at, author, settings };
    link.publish(address, 'watch', null, message);
  };

  /** What time it is here, to an edge that asked. */
  readonly answerClock = (address: RigAddress, { origin, id }: ClockPing, receivedMs: number): void => {
    const { link, storeName, utcMs, speaksToEdges } = this.options;
    if (!speaksToEdges) return;
    const answer: TimeAnswer = { origin, store: storeName, id, receivedMs, sentMs: utcMs() };
    link.publish(address, 'time', storeName, answer);
  };

  /** The procedure first, so that an edge can judge from the first sample of the new work. */
  readonly publishAssignment = (address: RigAddress): void => {
    const { store, board, link } = this.options;
    const assignment = board.assignmentOf(address);
    if (!assignment) return;
    const { origin, work } = assignment;
    const entry = work && store.procedure(work.procedureId, work.procedureRevision);
    if (entry) {
      const message: ProcedureMessage = { origin, ...entry };
      link.publish(address, 'procedure', entry.procedure.id, message);
    }
    link.publish(address, 'assignment', null, assignment);
  };
}

/** What a store tells an edge of where a stream stands in it. */
export function ackOf(store: string, { origin, stream, upto, head }: StreamState): Ack {
  return { origin, store, stream, upto, head };
}
