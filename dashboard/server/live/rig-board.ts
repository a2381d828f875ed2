/** What each rig last said. Retained messages and live summaries live here, in memory; places in the store. */
import type { Rig } from '#core/messages/api';
import type { Assignment } from '#core/messages/assignment';
import type { Origin } from '#core/messages/common';
import type { Live } from '#core/messages/live';
import type { RigAddress } from '#core/topics/topics';
import type { EdgeMessage } from '../ingest/topic-schemas.ts';
import type { ReportEvent } from '../internal-events.ts';
import type { DashboardStore, StoredAssignment } from '../store/store.ts';

export interface RigBoardOptions {
  readonly store: DashboardStore;
  readonly maxRigs: number;
  readonly now: () => Date;
  readonly report: ReportEvent;
  /** Of rigs that have not said it: real, unless this is a dashboard of training. */
  readonly presumedOrigin?: Origin;
  /** A rig's picture changed in something other than its live summary. */
  readonly onRig: (rig: Rig) => void;
  readonly onLive: (address: RigAddress, live: Live) => void;
  /** What is published to a rig names its origin, which has just become known or changed. */
  readonly onOrigin: (address: RigAddress) => void;
}

type Shown = Exclude<EdgeMessage, { kind: 'record' | 'event' | 'pass' | 'clock' }>;

export class RigBoard {
  private readonly options: RigBoardOptions;
  private readonly rigs = new Map<string, Rig>();
  private readonly origins = new Map<string, Origin>();
  private readonly heard = new Map<string, number>();

  constructor(options: RigBoardOptions) {
    this.options = options;
  }

  /** Rigs known from earlier runs take their places; nothing is known of them yet but what they should weld. */
  start(): void {
    for (const row of this.options.store.rigs()) {
      if (row.origin) this.origins.set(keyOf(row), row.origin);
      this.seat(row, row.place);
    }
  }

  list(): Rig[] {
    return [...this.rigs.values()].sort((a, b) => a.place - b.place);
  }

  find(address: RigAddress): Rig | null {
    return this.rigs.get(keyOf(address)) ?? null;
  }

  /** Unix time in ms at which anything came from the rig in this run; null before. */
  heardMs(address: RigAddress): number | null {
    return this.heard.get(keyOf(address)) ?? null;
  }

  /** Presumed until the rig has said it: entries for a real rig must not read as play, nor training reach one. */
  originOf(address: RigAddress): Origin {
    return this.origins.get(keyOf(address)) ?? this.options.presumedOrigin ?? 'real';
  }

  /**
   * Gives a rig its place at its first message; false when there are too many. `origin` is taken when none is
   * known yet, or when the message is the one that describes the rig.
   */
  admit(address: RigAddress, origin: Origin | null, describes: boolean): boolean {
    const { store, now, maxRigs, report, onOrigin } = this.options;
    const key = keyOf(address);
    if (!this.rigs.has(key)) {
      const row = store.ensureRig(address, now().toISOString(), maxRigs);
      if (!row) {
        report('rigRefused', { ...address });
        return false;
      }
      this.options.onRig(this.seat(address, row.place));
    }
    // Without an origin it is a place that was set up, not a message.
    if (origin !== null) this.heard.set(key, now().getTime());
    const known = this.origins.get(key);
    if (origin !== null && origin !== known && (known === undefined || describes)) {
      this.origins.set(key, origin);
      store.setRigOrigin(address, origin);
      this.refreshAssignment(address);
      onOrigin(address);
    }
    return true;
  }

  take(address: RigAddress, { kind, message }: Shown): void {
    const key = keyOf(address);
    const rig = { ...this.rigs.get(key)!, [kind]: message };
    this.rigs.set(key, rig);
    if (kind === 'live') this.options.onLive(address, message);
    else this.options.onRig(rig);
  }

  /** The rig's current assignment was entered or its origin became known. */
  refreshAssignment(address: RigAddress): void {
    const key = keyOf(address);
    const rig = this.rigs.get(key);
    if (!rig) return;
    const renewed = { ...rig, assignment: this.assignmentOf(address) };
    this.rigs.set(key, renewed);
    this.options.onRig(renewed);
  }

  /** As it is published to the rig and shown. */
  assignmentOf(address: RigAddress): Assignment | null {
    const stored = this.options.store.currentAssignment(address);
    return stored && this.present(stored);
  }

  /** Current assignments to one joint, of one origin where it is given. */
  assignmentsOf(joint: string, origin?: Origin): Assignment[] {
    return this.list().flatMap(({ assignment }) =>
      assignment?.work?.joint === joint && (origin ?? assignment.origin) === assignment.origin
        ? [assignment]
        : [],
    );
  }

  present({ site, rig, id, at, author, work }: StoredAssignment): Assignment {
    return { origin: this.originOf({ site, rig }), id, at, author, work };
  }

  private seat({ site, rig }: RigAddress, place: number): Rig {
    const seated: Rig = {
      site,
      rig,
      place,
      info: null,
      status: null,
      health: null,
      live: null,
      alarms: null,
      assignment: null,
    };
    this.rigs.set(keyOf(seated), { ...seated, assignment: this.assignmentOf(seated) });
    return this.rigs.get(keyOf(seated))!;
  }
}

export function keyOf({ site, rig }: RigAddress): string {
  return `${site}/${rig}`;
}
