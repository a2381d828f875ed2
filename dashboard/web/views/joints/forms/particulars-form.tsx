import type { JointState } from '#core/messages/api-journal';
import { Pick } from '../../../parts/pick.tsx';
import { text } from '../../../text/text.ts';
import { procedureKey } from '../../assign/assign-form.ts';
import { TypedField } from '../../verify/fields.tsx';
import { type LengthUnit, lengthText, shownLengthUnit, typedLengthMm } from '../../verify/typed-length.ts';
import { type Draft, type FieldsProps, type FormContext, given, type JointForm } from './joint-form.ts';

type Text = 'station' | 'scope' | 'upNumber' | 'upHeat' | 'downNumber' | 'downHeat' | 'weather';
type Field = Text | 'unit' | 'outsideDiameter' | 'wall' | 'procedure';
export type ParticularsDraft = Draft<Field>;

export const EMPTY_PARTICULARS: ParticularsDraft = {
  station: '',
  scope: '',
  upNumber: '',
  upHeat: '',
  downNumber: '',
  downHeat: '',
  weather: '',
  unit: 'mm',
  outsideDiameter: '',
  wall: '',
  procedure: '',
};

const unitOf = (draft: ParticularsDraft): LengthUnit => (draft.unit === 'in' ? 'in' : 'mm');

function draftOf(known: JointState['particulars']): ParticularsDraft {
  const unit = shownLengthUnit();
  const { procedureId, procedureRevision } = known;
  return {
    station: known.station ?? '',
    scope: known.scope ?? '',
    upNumber: known.upstreamPipe?.number ?? '',
    upHeat: known.upstreamPipe?.heat ?? '',
    downNumber: known.downstreamPipe?.number ?? '',
    downHeat: known.downstreamPipe?.heat ?? '',
    weather: known.weather ?? '',
    unit,
    outsideDiameter: lengthText(known.outsideDiameterMm ?? null, unit),
    wall: lengthText(known.wallThicknessMm ?? null, unit),
    procedure:
      procedureId === undefined || procedureRevision === undefined
        ? ''
        : procedureKey({ id: procedureId, revision: procedureRevision }),
  };
}

/** What is typed, as the schema wants it; call only when there is no problem. */
export function particularsOf(
  draft: ParticularsDraft,
  procedures: FormContext['procedures'],
): JointState['particulars'] {
  const unit = unitOf(draft);
  const length = (typed: string): number | null => (typed.trim() === '' ? null : typedLengthMm(typed, unit));
  const outsideDiameterMm = length(draft.outsideDiameter);
  const wallThicknessMm = length(draft.wall);
  const procedure = procedures.find(one => procedureKey(one.procedure) === draft.procedure)?.procedure;
  return {
    ...given('station', draft.station),
    ...given('scope', draft.scope),
    ...(draft.upNumber.trim() === ''
      ? {}
      : { upstreamPipe: { number: draft.upNumber.trim(), ...given('heat', draft.upHeat) } }),
    ...(draft.downNumber.trim() === ''
      ? {}
      : { downstreamPipe: { number: draft.downNumber.trim(), ...given('heat', draft.downHeat) } }),
    ...(outsideDiameterMm === null ? {} : { outsideDiameterMm }),
    ...(wallThicknessMm === null ? {} : { wallThicknessMm }),
    ...(procedure === undefined ? {} : { procedureId: procedure.id, procedureRevision: procedure.revision }),
    ...given('weather', draft.weather),
  };
}

export function particularsProblems(draft: ParticularsDraft): Partial<Record<Field, string>> {
  const { missing } = text.value.jointEntries;
  const wrong = (typed: string, max: number): boolean => {
    if (typed.trim() === '') return false;
    const mm = typedLengthMm(typed, unitOf(draft));
    return mm === null || mm <= 0 || mm > max;
  };
  return {
    ...(draft.upHeat.trim() !== '' && draft.upNumber.trim() === '' ? { upNumber: missing.pipe } : {}),
    ...(draft.downHeat.trim() !== '' && draft.downNumber.trim() === '' ? { downNumber: missing.pipe } : {}),
    ...(wrong(draft.outsideDiameter, 5000) ? { outsideDiameter: missing.number } : {}),
    ...(wrong(draft.wall, 200) ? { wall: missing.number } : {}),
  };
}

export const particularsForm: JointForm<Field> = {
  needsReason: false,
  begin: ({ state }) => (state === null ? EMPTY_PARTICULARS : draftOf(state.particulars)),
  from: ({ body }) =>
    body.kind === 'jointOpened' || body.kind === 'jointChanged' ? draftOf(body) : EMPTY_PARTICULARS,
  problems: (draft, { procedures }) => {
    const problems = particularsProblems(draft);
    const empty = Object.keys(particularsOf(draft, procedures)).length === 0;
    return Object.keys(problems).length === 0 && empty
      ? { station: text.value.jointEntries.missing.nothing }
      : problems;
  },
  body: (draft, { joint, procedures }) => ({
    kind: 'jointChanged',
    joint,
    ...particularsOf(draft, procedures),
  }),
  Fields: ParticularsFields,
};

export function ParticularsFields({ draft, change, problems, context }: FieldsProps<Field>) {
  const t = text.value.jointEntries;
  const unit = unitOf(draft);
  const typed = (field: Text, label: string, max: number, hint?: string) => (
    <TypedField
      id={`joint-${field}`}
      label={label}
      hint={hint}
      value={draft[field]}
      kind="text"
      max={max}
      error={problems[field] ?? null}
      type={value => change({ [field]: value })}
    />
  );
  return (
    <>
      <Pick
        name="procedure"
        legend={t.procedure}
        empty={text.value.work.noProcedures}
        options={context.procedures.map(({ procedure: p }) => ({
          value: procedureKey(p),
          label: `${text.value.work.procedureOption(p.id, String(p.revision), p.title)}${p.exampleOnly === true ? ` · ${text.value.exampleOnly}` : ''}`,
        }))}
        value={draft.procedure}
        error={null}
        pick={key => {
          const pipe = context.procedures.find(one => procedureKey(one.procedure) === key)?.procedure.pipe;
          const fill = (now: string, mm: number | undefined): string =>
            now === '' && mm !== undefined ? lengthText(mm, unit) : now;
          change({
            procedure: key,
            outsideDiameter: fill(draft.outsideDiameter, pipe?.outsideDiameterMm),
            wall: fill(draft.wall, pipe?.wallThicknessMm),
          });
        }}
      />
      <div class="field-pair">
        {typed('station', t.station, 80)}
        {typed('scope', t.scope, 40, t.scopeHint)}
      </div>
      <fieldset>
        <legend>{t.upstream}</legend>
        <div class="field-pair">
          {typed('upNumber', t.pipeNumber, 60)}
          {typed('upHeat', t.heat, 60)}
        </div>
      </fieldset>
      <fieldset>
        <legend>{t.downstream}</legend>
        <div class="field-pair">
          {typed('downNumber', t.pipeNumber, 60)}
          {typed('downHeat', t.heat, 60)}
        </div>
      </fieldset>
      <Pick
        name="length-unit"
        legend={t.lengthUnit}
        options={[
          { value: 'mm', label: t.mm },
          { value: 'in', label: t.inch },
        ]}
        value={unit}
        error={null}
        pick={to => {
          const next: LengthUnit = to === 'in' ? 'in' : 'mm';
          const converted = (now: string): string => lengthText(typedLengthMm(now, unit), next) || now;
          change({
            unit: next,
            outsideDiameter: converted(draft.outsideDiameter),
            wall: converted(draft.wall),
          });
        }}
      />
      <div class="field-pair">
        <TypedField
          id="joint-od"
          label={t.outsideDiameter(unit === 'mm' ? t.mm : t.inch)}
          value={draft.outsideDiameter}
          error={problems.outsideDiameter ?? null}
          type={outsideDiameter => change({ outsideDiameter })}
        />
        <TypedField
          id="joint-wall"
          label={t.wall(unit === 'mm' ? t.mm : t.inch)}
          value={draft.wall}
          error={problems.wall ?? null}
          type={wall => change({ wall })}
        />
      </div>
      {typed('weather', t.weather, 500, t.weatherHint)}
    </>
  );
}
