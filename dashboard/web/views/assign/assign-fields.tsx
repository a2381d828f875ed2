import type { ComponentChildren } from 'preact';
import type { Person } from '#core/messages/api';
import type { ProcedureEntry } from '#core/messages/api-lists';
import type { Procedure } from '#core/procedure/procedure';
import { EnteredAs } from '../../parts/entered-as.tsx';
import { FieldFrame, fieldAttributes } from '../../parts/field-frame.tsx';
import { Pick } from '../../parts/pick.tsx';
import { useSignedIn } from '../../parts/use-signed-in.ts';
import { format, text } from '../../text/text.ts';
import { isAmbiguous, storedText } from '../../text/typed-number.ts';
import { type AssignField, type AssignForm, NEW_PERSON, procedureKey } from './assign-form.ts';

interface AssignFieldsProps {
  readonly form: AssignForm;
  readonly change: (part: Partial<AssignForm>) => void;
  readonly procedures: readonly ProcedureEntry[];
  readonly procedure: Procedure | null;
  readonly people: readonly Person[];
  readonly missing: readonly AssignField[];
  readonly others: readonly { readonly rig: string; readonly joint: string | null }[];
}

interface TypedProps {
  readonly id: string;
  readonly label: string;
  readonly hint?: string;
  readonly value: string;
  readonly error: string | null;
  readonly numeric?: boolean;
  readonly max?: number;
  readonly type: (value: string) => void;
  readonly children?: ComponentChildren;
}

function Typed({ id, label, hint, value, error, numeric, max, type, children }: TypedProps) {
  const said = error !== null && numeric === true && isAmbiguous(value) ? text.value.ambiguous(value) : error;
  return (
    <FieldFrame
      id={id}
      label={label}
      hint={hint}
      error={said}
      input={
        <input
          {...fieldAttributes({ id, hint, error })}
          type="text"
          inputMode={numeric === true ? 'decimal' : 'text'}
          autoComplete="off"
          maxLength={max ?? 12}
          value={value}
          onInput={event => type(event.currentTarget.value)}
        />
      }
    >
      {children}
    </FieldFrame>
  );
}

export function AssignFields(props: AssignFieldsProps) {
  const { form, change, procedures, procedure, people, missing, others } = props;
  const { isKnown } = useSignedIn(form.who, who => change({ who, newName: '' }));
  const t = text.value.work;
  const error = (field: AssignField): string | null => (missing.includes(field) ? t.missing[field] : null);
  const whoError = error('who');
  return (
    <>
      <Pick
        name="procedure"
        legend={t.procedure}
        empty={t.noProcedures}
        options={procedures.map(({ procedure: p }) => ({
          value: procedureKey(p),
          label: `${t.procedureOption(p.id, String(p.revision), p.title)}${p.exampleOnly === true ? ` · ${text.value.exampleOnly}` : ''}`,
        }))}
        value={form.procedure}
        error={error('procedure')}
        pick={key => {
          const picked = procedures.find(entry => procedureKey(entry.procedure) === key)?.procedure;
          const diameter = picked?.pipe?.outsideDiameterMm;
          change({
            procedure: key,
            ...(diameter === undefined ? {} : { outsideDiameter: storedText('size', diameter) }),
          });
        }}
      />
      <Pick
        name="pass"
        legend={t.pass}
        {...(procedure === null ? { hint: t.passNeedsProcedure } : {})}
        options={procedure?.passes.map(({ name }) => ({ value: name, label: name })) ?? []}
        value={form.pass}
        error={error('pass')}
        pick={pass => change({ pass })}
      />
      <Typed
        id="joint"
        label={t.joint}
        hint={t.jointHint}
        value={form.joint}
        max={80}
        error={error('joint')}
        type={joint => change({ joint })}
      >
        <div class="picks">
          {others.map(({ rig, joint }) =>
            joint === null || joint === form.joint ? null : (
              <button key={rig} type="button" onClick={() => change({ joint })}>
                {t.jointSame(joint, rig)}
              </button>
            ),
          )}
        </div>
      </Typed>
      <Pick
        name="side"
        legend={t.side}
        hint={t.sideNote}
        options={[
          { value: 'A', label: t.sideA },
          { value: 'B', label: t.sideB },
        ]}
        value={form.side}
        error={error('side')}
        pick={side => change({ side: side === 'B' ? 'B' : 'A' })}
      />
      {isKnown ? (
        <EnteredAs error={whoError} />
      ) : (
        <div class="field">
          <label for="who">{t.who}</label>
          <p class="hint" id="who-hint">
            {t.namesNotVerified}
          </p>
          <select
            id="who"
            value={form.who}
            aria-invalid={whoError !== null}
            aria-describedby="who-hint"
            onChange={event => change({ who: event.currentTarget.value })}
          >
            <option value="">{t.whoChoose}</option>
            {people.map(person => (
              <option key={person.id} value={person.id}>
                {person.name}
              </option>
            ))}
            <option value={NEW_PERSON}>{t.whoNew}</option>
          </select>
          {whoError !== null && form.who !== NEW_PERSON && <p class="error">{whoError}</p>}
        </div>
      )}
      {!isKnown && form.who === NEW_PERSON && (
        <Typed
          id="new-name"
          label={t.newName}
          value={form.newName}
          max={80}
          error={whoError}
          type={newName => change({ newName })}
        />
      )}
      <div class="field-pair">
        <Typed
          id="outside-diameter"
          label={t.outsideDiameter(format().units.size.unit)}
          value={form.outsideDiameter}
          numeric
          error={error('outsideDiameter')}
          type={outsideDiameter => change({ outsideDiameter })}
        />
        <Typed
          id="start"
          label={t.start}
          hint={t.startHint}
          value={form.start}
          numeric
          error={error('start')}
          type={start => change({ start })}
        />
      </div>
    </>
  );
}
