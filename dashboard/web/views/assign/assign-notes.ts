import type { JointState } from '#core/messages/api-journal';
import type { Side } from '#core/messages/common';
import type { Procedure } from '#core/procedure/procedure';
import { text } from '../../text/text.ts';

/** What is chosen in the form, as far as it is. */
export interface Chosen {
  readonly side: Side | '';
  readonly pass: string;
  readonly procedure: Procedure | null;
}

const isDone = (state: JointState['passes'][number]['state'] | undefined): boolean =>
  state === 'closed' || state === 'loggedElsewhere';

/** What speaks against a choice, by what the server knows of the joint; the worst first. It keeps nobody from assigning. */
export function assignNotes(state: JointState, { side, pass, procedure }: Chosen): string[] {
  const t = text.value.joints.assignNotes;
  const notes: string[] = [];
  if (state.onHold !== null) notes.push(t.onHold(state.onHold.reason));
  if (!state.opened) notes.push(t.notOpened);
  const named = state.procedure;
  if (named !== null && procedure !== null) {
    const other = named.id !== procedure.id || named.revision !== procedure.revision;
    if (other) notes.push(t.otherProcedure(`${named.id} rev. ${named.revision}`));
  }
  if (side === '' || pass === '') return notes;
  const standing = (name: string) => state.passes.find(one => one.pass === name && one.side === side)?.state;
  if (isDone(standing(pass))) notes.push(t.done(pass, text.value.sideOf(side)));
  const names = procedure?.passes.map(({ name }) => name) ?? [];
  const before = names.slice(0, Math.max(0, names.indexOf(pass))).find(name => !isDone(standing(name)));
  if (before !== undefined) notes.push(t.before(pass, before));
  const layer = names[names.indexOf(pass) - 1];
  const released = state.passes.find(one => one.pass === layer && one.side === side)?.released;
  if (layer !== undefined && before === undefined && released !== true) notes.push(t.notReleased(layer));
  return notes;
}
