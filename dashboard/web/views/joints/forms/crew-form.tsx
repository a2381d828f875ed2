import type { EntryBody } from '#core/journal/entry';
import { text } from '../../../text/text.ts';
import { proposedShiftDate } from '../../verify/check-entry.ts';
import { TypedField } from '../../verify/fields.tsx';
import { taskUrl } from '../joint-routes.ts';
import { type QualificationWarning, qualificationWarning } from '../qualification-warnings.ts';
import type { FormContext, JointForm } from './joint-form.ts';

type CrewField = 'weldSetter' | 'operatorA' | 'operatorB';
export const CREW_FIELDS: readonly CrewField[] = ['weldSetter', 'operatorA', 'operatorB'];

/** What to know of an operator now, in words; null where one of the qualifications entered is good. */
export function warningText(person: string, context: FormContext, process: string | null): string | null {
  const date = proposedShiftDate(new Date(context.nowMs));
  const warning = qualificationWarning(context.qualifications, person, process, date);
  return warning === null ? null : inWords(warning, context.nameOf(person), process);
}

function inWords(warning: QualificationWarning, who: string, process: string | null): string {
  const t = text.value.jointEntries.qualification;
  switch (warning.kind) {
    case 'none':
      return t.none(who);
    case 'expired':
      return t.expired(who, warning.on);
    case 'otherProcess':
      return t.otherProcess(who, process ?? '', warning.processes.join(', '));
  }
}

/** ISO 4063 number the procedure gives, where all its passes give one and the same. */
export function processOf(context: FormContext): string | null {
  const found = new Set(
    (context.procedure?.passes ?? []).map(pass => ('process' in pass ? String(pass.process) : '')),
  );
  const [only] = found;
  return found.size === 1 && only !== undefined && only !== '' ? only : null;
}

interface PersonSelectProps {
  readonly id: string;
  readonly label: string;
  readonly value: string;
  readonly error: string | null;
  readonly context: FormContext;
  readonly choose: (id: string) => void;
}

function PersonSelect({ id, label, value, error, context, choose }: PersonSelectProps) {
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select
        id={id}
        value={value}
        aria-invalid={error !== null}
        {...(error === null ? {} : { 'aria-describedby': `${id}-error` })}
        onChange={event => choose(event.currentTarget.value)}
      >
        <option value="">{text.value.jointEntries.nobody}</option>
        {context.people.map(person => (
          <option key={person.id} value={person.id}>
            {person.name}
          </option>
        ))}
      </select>
      {error !== null && (
        <p class="error" id={`${id}-error`}>
          {error}
        </p>
      )}
    </div>
  );
}

const crewOf = (body: EntryBody): Record<CrewField, string> => ({
  weldSetter: (body.kind === 'crew' ? body.weldSetter : null) ?? '',
  operatorA: (body.kind === 'crew' ? body.operatorA : null) ?? '',
  operatorB: (body.kind === 'crew' ? body.operatorB : null) ?? '',
});

export const crewForm: JointForm<CrewField> = {
  needsReason: false,
  begin: ({ state }) => ({
    weldSetter: state?.crew?.weldSetter ?? '',
    operatorA: state?.crew?.operatorA ?? '',
    operatorB: state?.crew?.operatorB ?? '',
  }),
  from: ({ body }) => crewOf(body),
  problems: draft =>
    CREW_FIELDS.every(field => draft[field] === '')
      ? { weldSetter: text.value.jointEntries.missing.crew }
      : {},
  body: (draft, { joint }) => ({
    kind: 'crew',
    joint,
    weldSetter: draft.weldSetter === '' ? null : draft.weldSetter,
    operatorA: draft.operatorA === '' ? null : draft.operatorA,
    operatorB: draft.operatorB === '' ? null : draft.operatorB,
  }),
  Fields({ draft, change, problems, context }) {
    const t = text.value.jointEntries;
    const operators = [...new Set([draft.operatorA, draft.operatorB])].filter(id => id !== '');
    const warned = operators.flatMap(person => {
      const warning = warningText(person, context, processOf(context));
      return warning === null ? [] : [{ person, warning }];
    });
    return (
      <>
        {CREW_FIELDS.map(field => (
          <PersonSelect
            key={field}
            id={`crew-${field}`}
            label={t[field]}
            value={draft[field]}
            error={problems[field] ?? null}
            context={context}
            choose={id => change({ [field]: id })}
          />
        ))}
        <div role="status">
          {warned.map(({ person, warning }) => (
            <p key={person} class="message out">
              {warning}
            </p>
          ))}
          {warned.length > 0 && <p class="hint">{t.qualification.note}</p>}
        </div>
        {warned.map(({ person }) => (
          <p key={person}>
            <a class="button" href={taskUrl(context.joint, 'qualification', { person })}>
              {t.qualification.enter(context.nameOf(person))}
            </a>
          </p>
        ))}
      </>
    );
  },
};

export const qualificationForm: JointForm<'person' | 'process' | 'range' | 'expires'> = {
  needsReason: false,
  begin: context => ({
    person: context.start.person ?? '',
    process: processOf(context) ?? '',
    range: '',
    expires: '',
  }),
  from: ({ body }) =>
    body.kind === 'qualification'
      ? { person: body.person, process: body.process, range: body.range, expires: body.expires }
      : { person: '', process: '', range: '', expires: '' },
  problems: ({ person, process, range, expires }) => {
    const { missing } = text.value.jointEntries;
    return {
      ...(person === '' ? { person: missing.person } : {}),
      ...(/^\d{2,3}$/.test(process.trim()) ? {} : { process: missing.process }),
      ...(range.trim() === '' ? { range: missing.range } : {}),
      ...(/^\d{4}-\d{2}-\d{2}$/.test(expires) ? {} : { expires: missing.date }),
    };
  },
  body: ({ person, process, range, expires }) => ({
    kind: 'qualification',
    person,
    process: process.trim(),
    range: range.trim(),
    expires,
  }),
  Fields({ draft, change, problems, context }) {
    const t = text.value.jointEntries;
    return (
      <>
        <p class="note">{t.qualification.note}</p>
        <PersonSelect
          id="qualified-person"
          label={t.person}
          value={draft.person}
          error={problems.person ?? null}
          context={context}
          choose={person => change({ person })}
        />
        <TypedField
          id="process"
          label={t.process}
          hint={t.processHint}
          value={draft.process}
          max={3}
          error={problems.process ?? null}
          type={process => change({ process })}
        />
        <TypedField
          id="range"
          label={t.range}
          value={draft.range}
          kind="text"
          max={200}
          error={problems.range ?? null}
          type={range => change({ range })}
        />
        <TypedField
          id="expires"
          label={t.expires}
          value={draft.expires}
          kind="date"
          error={problems.expires ?? null}
          type={expires => change({ expires })}
        />
      </>
    );
  },
};
