/**
 * What the rig is welding: the assignment and the procedures a dashboard has sent, kept in the store so
 * that a restart without a broker goes on with them. It labels what is recorded and commands nothing.
 */
import { type Assignment, assignmentSchema } from '#core/messages/assignment';
import type { EngineAssignment } from '#core/pass/engine-api';
import { type Procedure, procedureSchema } from '#core/procedure/procedure';
import type { InternalEvents } from '../internal-events.ts';
import type { StatePatch } from '../outbox/outbox-types.ts';
import type { ShellEvent } from './stamper.ts';

const ASSIGNMENT = 'assignment';
const PROCEDURE = 'procedure/';
/** Far more than a season needs; the oldest received goes first, never the one in force. */
const MAX_PROCEDURES = 200;

export interface WorkDeskOptions {
  readonly state: Readonly<Record<string, string>>;
  readonly save: (patch: StatePatch) => void;
  /** From the next sample on the engine works for this. */
  readonly assign: (assignment: EngineAssignment | null) => void;
  readonly tell: (event: ShellEvent) => void;
  readonly events: InternalEvents;
}

export class WorkDesk {
  private readonly options: WorkDeskOptions;
  private assignment: Assignment | null = null;
  private readonly procedures = new Map<string, Procedure>();

  constructor(options: WorkDeskOptions) {
    this.options = options;
  }

  /** Takes up what was in force when the edge last ran. */
  resume(): void {
    const { state } = this.options;
    for (const [key, text] of Object.entries(state)) {
      if (!key.startsWith(PROCEDURE)) continue;
      const procedure = read(text, json => procedureSchema.parse(json));
      if (procedure) this.procedures.set(keyOf(procedure.id, procedure.revision), procedure);
    }
    this.assignment = read(state[ASSIGNMENT], json => assignmentSchema.parse(json));
    if (this.assignment) this.options.assign(this.forEngine());
  }

  current(): Assignment | null {
    return this.assignment;
  }

  take(assignment: Assignment): void {
    const { options } = this;
    // A broker repeats its retained message at every connection.
    if (this.assignment && JSON.stringify(this.assignment) === JSON.stringify(assignment)) {
      options.events.emit('assignmentHeld', { id: assignment.id });
      return;
    }
    this.assignment = assignment;
    options.save({ [ASSIGNMENT]: JSON.stringify(assignment) });
    options.assign(this.forEngine());
    options.events.emit('assignmentTaken', { id: assignment.id });
    const { work } = assignment;
    options.tell({
      type: 'assigned',
      text: work
        ? `assigned: joint ${work.joint}, side ${work.side}, pass ${work.pass}, procedure ${work.procedureId} revision ${work.procedureRevision}`
        : 'nothing is assigned any more',
      data: {
        assignmentId: assignment.id,
        author: assignment.author,
        joint: work?.joint ?? null,
        side: work?.side ?? null,
        pass: work?.pass ?? null,
        procedureId: work?.procedureId ?? null,
        procedureRevision: work?.procedureRevision ?? null,
      },
    });
  }

  takeProcedure(procedure: Procedure): void {
    const { options } = this;
    const key = keyOf(procedure.id, procedure.revision);
    const known = this.procedures.get(key);
    if (known) {
      if (JSON.stringify(known) !== JSON.stringify(procedure)) {
        options.events.emit('messageInvalid', {
          topic: key,
          reason: 'this revision is known with other content',
        });
      }
      return;
    }
    this.procedures.set(key, procedure);
    const patch: Record<string, string | null> = { [key]: JSON.stringify(procedure) };
    for (const old of this.procedures.keys()) {
      if (this.procedures.size <= MAX_PROCEDURES) break;
      if (old === this.assignedKey() || old === key) continue;
      this.procedures.delete(old);
      patch[old] = null;
    }
    options.save(patch);
    options.events.emit('procedureTaken', { id: procedure.id, revision: procedure.revision });
    if (key === this.assignedKey()) options.assign(this.forEngine());
  }

  private assignedKey(): string | null {
    const work = this.assignment?.work;
    return work ? keyOf(work.procedureId, work.procedureRevision) : null;
  }

  private forEngine(): EngineAssignment | null {
    const { assignment } = this;
    const work = assignment?.work;
    if (!assignment || !work) return null;
    const procedure = this.procedures.get(keyOf(work.procedureId, work.procedureRevision)) ?? null;
    return { id: assignment.id, ...work, procedure };
  }
}

function keyOf(id: string, revision: number): string {
  return `${PROCEDURE}${id}/${revision}`;
}

function read<T>(text: string | undefined, parse: (json: unknown) => T): T | null {
  if (text === undefined) return null;
  try {
    return parse(JSON.parse(text));
  } catch {
    // Kept by an older layout: the retained message brings it back.
    return null;
  }
}
