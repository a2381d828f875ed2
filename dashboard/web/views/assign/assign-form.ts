import type { NewAssignment, Person } from '#core/messages/api';
import type { ProcedureEntry } from '#core/messages/api-lists';
import type { Side } from '#core/messages/common';
import type { Procedure } from '#core/procedure/procedure';
import { typedNumber, typedStored } from '../../text/typed-number.ts';

/** The form as typed: texts, so that nothing half-entered is lost. */
export interface AssignForm {
  readonly procedure: string;
  readonly joint: string;
  readonly side: Side | '';
  readonly pass: string;
  /** Person id, or `new` for a name that is not in the list. */
  readonly who: string;
  readonly newName: string;
  readonly outsideDiameter: string;
  readonly start: string;
}

export type AssignField = 'procedure' | 'joint' | 'side' | 'pass' | 'who' | 'outsideDiameter' | 'start';
export const NEW_PERSON = 'new';

export const procedureKey = (procedure: Pick<Procedure, 'id' | 'revision'>): string =>
  `${procedure.id}@${procedure.revision}`;

export function chosenProcedure(form: AssignForm, all: readonly ProcedureEntry[]): Procedure | null {
  return all.find(({ procedure }) => procedureKey(procedure) === form.procedure)?.procedure ?? null;
}

/** The fields that keep the form from being sent, in the order they stand on the page. */
export function missingFields(
  form: AssignForm,
  procedure: Procedure | null,
  people: readonly Person[],
): AssignField[] {
  const missing: AssignField[] = [];
  if (procedure === null) missing.push('procedure');
  if (form.joint.trim() === '') missing.push('joint');
  if (form.side === '') missing.push('side');
  if (procedure === null || !procedure.passes.some(({ name }) => name === form.pass)) missing.push('pass');
  const named = form.who === NEW_PERSON ? form.newName.trim() !== '' : people.some(p => p.id === form.who);
  if (!named) missing.push('who');
  const diameter = typedStored('size', form.outsideDiameter);
  if (diameter === null || diameter <= 0 || diameter > 5000) missing.push('outsideDiameter');
  const start = typedNumber(form.start);
  if (start === null || start < -90 || start > 270) missing.push('start');
  return missing;
}

/** The request body; call only when nothing is missing. */
export function assignmentOf(
  form: AssignForm,
  procedure: Procedure,
  address: { readonly site: string; readonly rig: string },
  author: string,
): NewAssignment {
  return {
    site: address.site,
    rig: address.rig,
    author,
    work: {
      joint: form.joint.trim(),
      side: form.side === 'B' ? 'B' : 'A',
      pass: form.pass,
      procedureId: procedure.id,
      procedureRevision: procedure.revision,
      outsideDiameterMm: typedStored('size', form.outsideDiameter) ?? 0,
      startDegrees: typedNumber(form.start) ?? 0,
    },
  };
}
