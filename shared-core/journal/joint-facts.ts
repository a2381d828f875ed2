/** What a joint's folds stand on. All of it is given; nothing here reads a clock or a store. */
import type { MovedPass, PassWork, ProcedureState } from '../messages/api-journal.ts';
import type { Origin, Side } from '../messages/common.ts';
import type { PassMessage } from '../messages/pass.ts';
import type { Procedure } from '../procedure/procedure.ts';
import type { Entry, EntryOf } from './entry.ts';

/** A recorded pass and what it counts as: its own assignment, or the last move that stands. */
export interface RecordedPass {
  readonly message: PassMessage;
  readonly recordedAs: PassWork;
  readonly work: PassWork;
  readonly move: MovedPass | null;
}

/** Work that a rig has before it now. */
export interface AssignedWork {
  readonly joint: string;
  readonly side: Side;
  readonly pass: string;
  readonly procedureId: string;
  readonly procedureRevision: number;
  readonly outsideDiameterMm: number;
}

export interface ProcedureName {
  readonly id: string;
  readonly revision: number;
}

export interface JointFacts {
  readonly joint: string;
  readonly origin: Origin;
  readonly now: string;
  /** The day by which a qualification has or has not expired. */
  readonly today: string;
  /** Everything entered about the joint, in order. */
  readonly entries: readonly Entry[];
  /** Recorded under it or moved to it, those moved away included, in the order welded. */
  readonly recorded: readonly RecordedPass[];
  readonly assigned: readonly AssignedWork[];
  /** The revision that jointProcedure names; null where it is not stored. */
  readonly procedure: Procedure | null;
  readonly procedureState: ProcedureState;
  /** Standing, of anybody. */
  readonly qualifications: readonly EntryOf<'qualification'>[];
  readonly nameOf: (person: string) => string;
}

/** The revision a joint's work is judged by: of its particulars, else as assigned, else as last recorded or moved. */
export function jointProcedure(
  particulars: { readonly procedureId?: string | undefined; readonly procedureRevision?: number | undefined },
  assigned: readonly AssignedWork[],
  recorded: readonly RecordedPass[],
): ProcedureName | null {
  const { procedureId, procedureRevision } = particulars;
  if (procedureId !== undefined && procedureRevision !== undefined) {
    return { id: procedureId, revision: procedureRevision };
  }
  const work = assigned.at(-1);
  if (work) return { id: work.procedureId, revision: work.procedureRevision };
  for (const { message } of recorded.toReversed()) {
    if (message.procedureId !== null && message.procedureRevision !== null) {
      return { id: message.procedureId, revision: message.procedureRevision };
    }
  }
  return null;
}
