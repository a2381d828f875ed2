/** What the page of a shift stands on. All of it is given; nothing here reads a clock or a store. */
import type { Entry } from '../journal/entry.ts';
import type { JointFacts } from '../journal/joint-facts.ts';
import type { PassWork } from '../messages/api-journal.ts';
import type { Origin } from '../messages/common.ts';
import type { PassMessage } from '../messages/pass.ts';
import type { Channel } from '../sample/channels.ts';

/** A recorded pass, what it counts as now, and how many changes along the weld were called on it. */
export interface ShiftPass {
  readonly message: PassMessage;
  readonly work: PassWork;
  readonly changes: number;
}

export interface ShiftRigFacts {
  readonly site: string;
  readonly rig: string;
  /** Everything entered about it, in order. */
  readonly entries: readonly Entry[];
  /** What its stream is made of; null until it has said so. */
  readonly channels: readonly Channel[] | null;
  /** Its passes from its last change of spool on, the one it fell into included; in order. */
  readonly sinceSpool: readonly PassMessage[];
  /** Announced alarms; null where the log says nothing of that time. */
  readonly alarms: number | null;
}

export interface ShiftFacts {
  readonly date: string;
  readonly zone: string;
  readonly fromUtc: string;
  readonly toUtc: string;
  readonly now: string;
  readonly site: string | null;
  readonly sites: readonly string[];
  readonly origin: Origin;
  readonly origins: readonly Origin[];
  /** Begun within the shift, in order. */
  readonly passes: readonly ShiftPass[];
  /** Of the joints they count for, with what was recorded until the end of the shift. */
  readonly joints: readonly JointFacts[];
  /** In their fixed places. */
  readonly rigs: readonly ShiftRigFacts[];
  /** Announced for the dashboard itself. */
  readonly dashboardAlarms: number | null;
  readonly alarmsReason: string | null;
  readonly nameOf: (person: string) => string;
}

/** The end of the shift, or now where it still runs. */
export const endOfShift = ({ toUtc, now }: Pick<ShiftFacts, 'toUtc' | 'now'>): string =>
  now < toUtc ? now : toUtc;
