import { useEffect, useState } from 'preact/hooks';
import type { ProcedureEntry } from '#core/messages/api-lists';
import type { Procedure, ProcedurePass } from '#core/procedure/procedure';
import { useApp } from '../../app-context.ts';
import { More } from '../../parts/more.tsx';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';
import { usePeople } from '../verify/use-people.ts';
import { fieldText, limitRow } from './limit-texts.ts';
import { type FieldSpec, PASS_FIELDS, PROCEDURE_FIELDS, valueAt } from './procedure-fields.ts';
import { ProcedureJoints } from './procedure-joints.tsx';
import { proceduresUrl } from './procedures-route.ts';
import { ExampleMark, StateMark } from './state-mark.tsx';
import { useStates } from './states.ts';
import { StatusForm } from './status-form.tsx';
import { UnitSwitch } from './unit-switch.tsx';
import { unitSystem } from './unit-system.ts';

interface ProcedureSheetProps {
  readonly id: string;
  readonly revision: number;
}

/** One revision: what it says, where it stands, and what can be done with it. */
export function ProcedureSheet({ id, revision }: ProcedureSheetProps) {
  const { procedures } = useApp();
  const t = text.value.procedures;
  useEffect(() => void procedures.refresh(), [procedures]);
  const family = procedures.all.value.filter(entry => entry.procedure.id === id);
  const entry = family.find(one => one.procedure.revision === revision);
  if (entry === undefined) {
    return (
      <section class="sheet form-sheet procedures">
        <BackToList />
        <h1>{t.title}</h1>
        <p>
          {procedures.loaded.value
            ? t.unknown(id, String(revision))
            : procedures.failure.value === null
              ? t.loading
              : t.failed(procedures.failure.value || t.noServer)}
        </p>
      </section>
    );
  }
  return (
    <Sheet entry={entry} others={family.map(one => one.procedure.revision).filter(n => n !== revision)} />
  );
}

export const BackToList = () => (
  <p>
    <a class="button" href="#/procedures">
      {text.value.procedures.backToList}
    </a>
  </p>
);

/** The server writes the files, so that they are the same for everyone. */
const fileUrl = ({ id, revision }: Procedure, file: 'procedure.json' | 'pass-table.csv'): string =>
  `/api/v1/procedures/${encodeURIComponent(id)}/${revision}/${file}`;

function Sheet({ entry, others }: { readonly entry: ProcedureEntry; readonly others: readonly number[] }) {
  const t = text.value.procedures;
  const { procedure } = entry;
  const { id, revision } = procedure;
  const people = usePeople();
  const states = useStates();
  const now = states.of(id, revision);
  const [wide] = useState(() => window.matchMedia('(min-width: 701px)').matches);
  return (
    <section class="sheet form-sheet procedures">
      <BackToList />
      <h1>
        {t.open(id, String(revision))} <StateMark state={now.state} />
      </h1>
      {procedure.exampleOnly === true && <ExampleMark />}
      <p class="procedure-title">{procedure.title}</p>
      <p>
        {t.stateHint[now.state]}{' '}
        {now.author !== null && now.at !== null && (
          <span>
            {t.state[now.state]} {t.stateBy(people.nameOf(now.author), whenText(now.at))}.
          </span>
        )}{' '}
        {now.reason !== null && <span>{t.reasonGiven(now.reason)}</span>}
      </p>
      <p class="hint">{t.addedBy(people.nameOf(entry.author), whenText(entry.at))}</p>
      <div class="form-actions">
        <a class="button" href={proceduresUrl({ view: 'procedureRevise', id, revision })}>
          {t.revise}
        </a>
        {others
          .toSorted((a, b) => b - a)
          .map(other => (
            <a
              key={other}
              class="button"
              href={proceduresUrl({
                view: 'procedureCompare',
                id,
                a: Math.min(other, revision),
                b: Math.max(other, revision),
              })}
            >
              {t.compareWith(String(other))}
            </a>
          ))}
      </div>
      <StatusForm procedure={procedure} state={now.state} people={people} done={states.reload} />
      <ProcedureJoints id={id} revision={revision} />
      <UnitSwitch />
      <Facts procedure={procedure} />
      {procedure.passes.map((pass, i) => (
        <PassTable key={pass.name} pass={pass} open={i === 0 || wide} />
      ))}
      <p class="hint">{t.projectRule}</p>
      <div class="form-actions">
        <a class="button" href={fileUrl(procedure, 'procedure.json')} download="">
          {t.exportJson}
        </a>
        <a class="button" href={fileUrl(procedure, 'pass-table.csv')} download="">
          {t.exportCsv}
        </a>
      </div>
    </section>
  );
}

function FactList({ source, specs }: { readonly source: object; readonly specs: readonly FieldSpec[] }) {
  const t = text.value.procedures;
  const system = unitSystem().value;
  const shown = specs.flatMap(({ path }) => {
    const value = valueAt(source as Readonly<Record<string, unknown>>, path);
    return value === undefined ? [] : [{ path, value }];
  });
  if (shown.length === 0) return null;
  return (
    <dl class="facts">
      {shown.map(({ path, value }) => (
        <div key={path}>
          <dt>{t.field[path]}</dt>
          <dd>{fieldText(path, value, system)}</dd>
        </div>
      ))}
    </dl>
  );
}

/** Already in the heading, or a mark of its own. */
const IN_HEADING = new Set(['id', 'revision', 'title', 'exampleOnly']);

function Facts({ procedure }: { readonly procedure: Procedure }) {
  const specs = PROCEDURE_FIELDS.flatMap(({ fields }) => fields).filter(({ path }) => !IN_HEADING.has(path));
  return <FactList source={procedure} specs={specs} />;
}

function PassTable({ pass, open }: { readonly pass: ProcedurePass; readonly open: boolean }) {
  const t = text.value.procedures;
  const c = t.columns;
  const system = unitSystem().value;
  return (
    <More
      open={open}
      label={
        <>
          {pass.name} <span class="limit-count">{t.edit.limitsCount(pass.limits.length)}</span>
        </>
      }
    >
      <FactList source={pass} specs={PASS_FIELDS.filter(({ path }) => path !== 'name')} />
      {pass.limits.length === 0 ? (
        <p>{t.noLimits}</p>
      ) : (
        <table class="limits">
          <caption class="sr-only">{t.passTable(pass.name)}</caption>
          <thead>
            <tr>
              <th scope="col">{c.quantity}</th>
              <th scope="col">{c.min}</th>
              <th scope="col">{c.nominal}</th>
              <th scope="col">{c.max}</th>
              <th scope="col">{c.unit}</th>
              <th scope="col">{c.basis}</th>
              <th scope="col">{c.zone}</th>
              <th scope="col">{c.authority}</th>
            </tr>
          </thead>
          <tbody>
            {pass.limits.map(limit => {
              const row = limitRow(limit, system);
              return (
                <tr key={JSON.stringify(limit)}>
                  <th scope="row">
                    {row.quantity}
                    {row.shape !== null && <span class="hint">{row.shape}</span>}
                  </th>
                  <td data-label={c.min}>{row.min}</td>
                  <td data-label={c.nominal}>{row.nominal}</td>
                  <td data-label={c.max}>{row.max}</td>
                  <td data-label={c.unit}>{row.unit}</td>
                  <td data-label={c.basis}>{row.basis}</td>
                  <td data-label={c.zone} data-zoned={row.zoned ? 'yes' : 'no'}>
                    {row.zone}
                  </td>
                  <td data-label={c.authority}>{row.authority}</td>
                </tr>
              );
            })}
          </tbody>
        </table>
      )}
    </More>
  );
}
