import { useEffect } from 'preact/hooks';
import { type ProcedureDifference, procedureDifferences } from '#core/procedure/procedure-differences';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { valueText, zoneText } from './limit-texts.ts';
import { BackToList } from './procedure-sheet.tsx';
import { procedureUrl } from './procedures-route.ts';
import { StateMark } from './state-mark.tsx';
import { useStates } from './states.ts';
import { UnitSwitch } from './unit-switch.tsx';
import { unitSystem } from './unit-system.ts';

interface CompareViewProps {
  readonly id: string;
  readonly a: number;
  readonly b: number;
}

/** Two revisions, field by field: only what differs, pass by pass. */
export function CompareView({ id, a, b }: CompareViewProps) {
  const { procedures, go } = useApp();
  const t = text.value.procedures;
  const states = useStates();
  useEffect(() => void procedures.refresh(), [procedures]);
  const revisions = procedures.all.value
    .filter(entry => entry.procedure.id === id)
    .map(entry => entry.procedure.revision)
    .toSorted((one, other) => one - other);
  const [before, after] = [procedures.find(id, a), procedures.find(id, b)];
  const pick = (label: string, elementId: string, value: number, choose: (revision: number) => void) => (
    <div class="field">
      <label for={elementId}>{label}</label>
      <select id={elementId} value={value} onChange={event => choose(Number(event.currentTarget.value))}>
        {revisions.map(revision => (
          <option key={revision} value={revision}>
            {t.revision(String(revision))}
          </option>
        ))}
      </select>
    </div>
  );
  return (
    <section class="sheet form-sheet procedures">
      <BackToList />
      <h1>{t.compare.title(id, String(a), String(b))}</h1>
      {before === null || after === null ? (
        <p>
          {!procedures.loaded.value && procedures.failure.value === null
            ? t.loading
            : t.unknown(id, String(before === null ? a : b))}
        </p>
      ) : (
        <>
          <div class="field-pair">
            {pick(t.compare.first, 'compare-a', a, next => go({ view: 'procedureCompare', id, a: next, b }))}
            {pick(t.compare.second, 'compare-b', b, next => go({ view: 'procedureCompare', id, a, b: next }))}
          </div>
          <p class="form-actions">
            {[a, b].map(revision => (
              <a key={revision} class="button" href={procedureUrl(id, revision)}>
                {t.open(id, String(revision))} <StateMark state={states.of(id, revision).state} />
              </a>
            ))}
          </p>
          <UnitSwitch />
          <Differences found={procedureDifferences(before, after)} a={a} b={b} />
        </>
      )}
    </section>
  );
}

interface DifferencesProps {
  readonly found: readonly ProcedureDifference[];
  readonly a: number;
  readonly b: number;
}

const kindOf = ({ before, after }: ProcedureDifference): 'changed' | 'added' | 'removed' =>
  before === null ? 'added' : after === null ? 'removed' : 'changed';

function Differences({ found, a, b }: DifferencesProps) {
  const t = text.value.procedures;
  const c = t.compare;
  const system = unitSystem().value;
  if (found.length === 0) return <p role="status">{c.none}</p>;
  const places = [...new Set(found.map(({ pass }) => pass))];
  const label = ({ limit, field }: ProcedureDifference): string => {
    const name = t.field[field] ?? field;
    if (limit === null) return name;
    const quantity = text.value.quantity[limit.quantity] ?? limit.quantity;
    const where = limit.zone === null ? '' : `, ${zoneText(limit.zone)}`;
    return `${quantity} (${t.basis[limit.basis]}${where}): ${name}`;
  };
  return (
    <>
      <p role="status">{c.count(found.length)}</p>
      {places.map(place => (
        <section key={place ?? ''}>
          <h2>{place ?? c.whole}</h2>
          <table class="differences">
            <thead>
              <tr>
                <th scope="col">{c.field}</th>
                <th scope="col">{c.kind}</th>
                <th scope="col">{t.revision(String(a))}</th>
                <th scope="col">{t.revision(String(b))}</th>
              </tr>
            </thead>
            <tbody>
              {found
                .filter(({ pass }) => pass === place)
                .map(one => (
                  <tr key={label(one)}>
                    <th scope="row">{label(one)}</th>
                    <td data-label={c.kind}>{c.kinds[kindOf(one)]}</td>
                    <td data-label={t.revision(String(a))}>{valueText(one, one.before, system)}</td>
                    <td data-label={t.revision(String(b))}>
                      <strong>{valueText(one, one.after, system)}</strong>
                    </td>
                  </tr>
                ))}
            </tbody>
          </table>
        </section>
      ))}
    </>
  );
}
