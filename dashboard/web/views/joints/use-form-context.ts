import { useEffect, useState } from 'preact/hooks';
import type { JointState } from '#core/messages/api-journal';
import type { Procedure } from '#core/procedure/procedure';
import { useApp } from '../../app-context.ts';
import type { Procedures } from '../../data/procedures.ts';
import type { People } from '../verify/use-people.ts';
import type { FormContext } from './forms/joint-form.ts';
import type { TaskStart } from './joint-routes.ts';
import { isQualification, type QualificationEntry } from './qualification-warnings.ts';

/** The revision a joint's work is judged by, where this page has it. */
const procedureOf = (procedures: Procedures, state: JointState | null): Procedure | null =>
  state?.procedure == null ? null : procedures.find(state.procedure.id, state.procedure.revision);

/** The qualifications entered of anybody; none while they cannot be read. */
export function useQualifications(): readonly QualificationEntry[] {
  const { api, changes } = useApp();
  const [known, setKnown] = useState<readonly QualificationEntry[]>([]);
  const version = changes.joints.value;
  useEffect(() => {
    api.entries({ kind: 'qualification', limit: '200' }).then(
      ({ entries }) => setKnown(entries.filter(isQualification)),
      () => undefined,
    );
  }, [api, version]);
  return known;
}

/** What the forms of one joint may look at. */
export function useFormContext(input: {
  readonly joint: string;
  readonly state: JointState | null;
  readonly people: People;
  readonly start: TaskStart;
}): FormContext {
  const { procedures, rigs } = useApp();
  const { joint, state, people, start } = input;
  const qualifications = useQualifications();
  useEffect(() => void procedures.refresh(), [procedures]);
  const procedure = procedureOf(procedures, state);
  const names = [
    ...(procedure?.passes.map(({ name }) => name) ?? []),
    ...(state?.passes.map(({ pass }) => pass) ?? []),
  ];
  return {
    joint,
    state,
    procedure,
    procedures: procedures.all.value,
    limitsOf: pass => (procedure === null ? [] : procedures.limitsOf(procedure, pass)),
    passNames: [...new Set(names)],
    people: people.all,
    nameOf: people.nameOf,
    qualifications,
    start,
    nowMs: rigs.nowMs.value,
  };
}
