import { useEffect, useState } from 'preact/hooks';
import type { ProcedureEntry } from '#core/messages/api-lists';
import { procedureProblems } from '#core/procedure/impossible';
import type { Procedure, ProcedurePass } from '#core/procedure/procedure';
import { useApp } from '../../app-context.ts';
import { ApiError } from '../../data/api-client.ts';
import { More } from '../../parts/more.tsx';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { usePeople } from '../verify/use-people.ts';
import { isNamed, type Who, WhoField } from '../verify/who-field.tsx';
import { addPass, withField } from './draft-changes.ts';
import { dropDraft, writeDraft } from './draft-store.ts';
import { EditField } from './edit-fields.tsx';
import { FileButton } from './file-button.tsx';
import { PassEditor } from './pass-editor.tsx';
import { DraftReader, fieldId, type ProcedureDraft } from './procedure-draft.ts';
import { PROCEDURE_FIELDS } from './procedure-fields.ts';
import { procedureOfDraft } from './procedure-of-draft.ts';
import { placeOf, type Refusal, refusalOf } from './refusal-place.ts';

interface EditFormProps {
  readonly name: string;
  readonly kept: { readonly atMs: number; readonly draft: ProcedureDraft } | null;
  readonly fresh: () => ProcedureDraft;
}

const WHO_ID = 'edit-who';
const ANY_SPEED = { min: 0, max: Number.POSITIVE_INFINITY };
const ANY_RIG = { travelMmPerS: ANY_SPEED, wireFeedMmPerS: ANY_SPEED };

/** The server says so at the field; what would follow from it is not worth saying. */
const isCrossed = ({ passes }: Procedure): boolean =>
  passes.some(({ limits }) =>
    limits.some(({ min, max }) => min !== undefined && max !== undefined && min >= max),
  );

export function EditForm({ name, kept, fresh }: EditFormProps) {
  const { api, procedures, go } = useApp();
  const t = text.value.procedures.edit;
  const people = usePeople();
  const [draft, setDraft] = useState<ProcedureDraft>(() => kept?.draft ?? fresh());
  const [restoredMs, setRestoredMs] = useState(kept?.atMs ?? null);
  const [who, setWho] = useState<Who>({ who: people.lastWho, newName: '' });
  const [tried, setTried] = useState(0);
  const [busy, setBusy] = useState(false);
  /** What the server said of the draft as it then was; gone with the next change. */
  const [refusal, setRefusal] = useState<Refusal | null>(null);
  const [table, setTable] = useState<string | null>(null);
  const [newestPass, setNewestPass] = useState<number | null>(null);

  function change(next: ProcedureDraft): void {
    const added = next.passes.find(pass => !draft.passes.some(({ key }) => key === pass.key));
    if (added !== undefined) setNewestPass(added.key);
    setDraft(next);
    setRefusal(null);
    writeDraft(localStorage, name, { atMs: Date.now(), draft: next });
  }

  const reading = procedureOfDraft(draft);
  /** What contradicts itself: the same rule as the server's, which alone knows what a rig here can do. */
  const impossible =
    reading.problems.size > 0 || isCrossed(reading.procedure)
      ? []
      : procedureProblems(reading.procedure, ANY_RIG);
  const errors = new Map<string, string>();
  if (tried > 0) {
    for (const [id, problem] of reading.problems) errors.set(id, t.problems[problem]);
    if (!isNamed(who, people.all)) errors.set(WHO_ID, t.problems.who);
    for (const { path, message } of impossible) {
      const id = placeOf(path.split('.'), draft);
      if (id !== null && !errors.has(id)) errors.set(id, message);
    }
  }
  if (refusal !== null && refusal.id !== null) errors.set(refusal.id, refusal.text);

  useEffect(() => {
    if (tried === 0 && refusal === null) return;
    document.querySelector<HTMLElement>('.edit [aria-invalid="true"]')?.focus();
  }, [tried, refusal]);

  async function save(): Promise<void> {
    setTried(n => n + 1);
    setRefusal(null);
    if (
      reading.problems.size > 0 ||
      impossible.length > 0 ||
      draft.passes.length === 0 ||
      !isNamed(who, people.all)
    )
      return;
    setBusy(true);
    try {
      const author = await people.idOf(who);
      const { procedure } = reading;
      await api.post<ProcedureEntry>(['procedures'], { author, procedure });
      dropDraft(localStorage, name);
      await procedures.refresh();
      go({ view: 'procedure', id: procedure.id, revision: procedure.revision });
    } catch (error) {
      const answered = error instanceof ApiError && error.message !== '';
      if (!answered) setRefusal({ id: null, text: text.value.procedures.noServer });
      else if (error.problem?.code === 'procedureRevisionTaken') {
        setRefusal({ id: fieldId('revision'), text: error.message });
      } else {
        const refused = refusalOf(error.problem?.detail ?? error.message, draft);
        setRefusal({ ...refused, text: said(refused.text) });
      }
    } finally {
      setBusy(false);
    }
  }

  async function takeTable(csv: string): Promise<void> {
    try {
      const table = await api.post<{ passes: ProcedurePass[] }>(['pass-table'], { csv });
      const read = new DraftReader(draft.system).readPasses(table.passes, draft.nextKey);
      change({ ...draft, ...read, originals: { ...draft.originals, ...read.originals } });
      setTable(t.csvReplaced(text.value.procedures.passes(read.passes.length)));
    } catch (error) {
      const known = error instanceof ApiError && error.message !== '';
      setTable(t.csvFailed(known ? error.message : text.value.procedures.noServer));
    }
  }

  const revision = draft.fields['revision']?.trim() ?? '';
  return (
    <form
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void save();
      }}
    >
      {restoredMs !== null && (
        <p class="sum-kept">
          {t.restored(whenText(restoredMs))}{' '}
          <button
            type="button"
            onClick={() => {
              dropDraft(localStorage, name);
              setDraft(fresh());
              setRestoredMs(null);
              setTried(0);
              setRefusal(null);
            }}
          >
            {t.discard}
          </button>
        </p>
      )}
      {PROCEDURE_FIELDS.map(({ group, fields }) => {
        const inputs = fields.map(spec => (
          <EditField
            key={spec.path}
            id={fieldId(spec.path)}
            spec={spec}
            value={draft.fields[spec.path] ?? ''}
            system={draft.system}
            error={errors.get(fieldId(spec.path)) ?? null}
            {...(spec.path === 'id' ? { hint: t.noDashes } : {})}
            change={value => change(withField(draft, spec.path, value))}
          />
        ));
        if (group === 'identity') {
          return (
            <section key={group}>
              <h2>{t.groups[group]}</h2>
              <div class="field-grid">{inputs}</div>
            </section>
          );
        }
        const wrong = fields.some(({ path }) => errors.has(fieldId(path)));
        const used = fields.some(({ path }) => !['', 'no'].includes(draft.fields[path] ?? ''));
        return (
          <More key={group} label={t.more(t.groups[group])} open={wrong || used}>
            <div class="field-grid">{inputs}</div>
          </More>
        );
      })}
      <h2>{t.passesTitle}</h2>
      <p class="hint">
        {text.value.procedures.projectRule} {t.authorityHint}
      </p>
      <div class="form-actions">
        <FileButton
          label={t.importCsv}
          accept=".csv,text/csv"
          take={csv => void takeTable(csv)}
          refuse={() => setTable(t.csvFailed(t.file.tooLarge))}
        />
      </div>
      <p role="status">{table ?? ''}</p>
      {draft.passes.map((pass, i) => (
        <PassEditor
          key={pass.key}
          pass={pass}
          place={i + 1}
          of={draft.passes.length}
          draft={draft}
          open={i === 0 || pass.key === newestPass}
          errors={errors}
          change={change}
        />
      ))}
      <div class="form-actions">
        <button type="button" onClick={() => change(addPass(draft))}>
          {t.addPass}
        </button>
      </div>
      <WhoField
        id={WHO_ID}
        label={t.who}
        value={who}
        people={people.all}
        error={errors.get(WHO_ID) ?? null}
        change={part => setWho(now => ({ ...now, ...part }))}
      />
      <p>{t.afterwards}</p>
      <div role="alert">
        {refusal !== null && <p class="message out">{t.failed(refusal.text)}</p>}
        {refusal === null && errors.size > 0 && <p class="error">{t.wrong(t.fields(errors.size))}</p>}
        {tried > 0 && draft.passes.length === 0 && <p class="error">{t.noPass}</p>}
      </div>
      <div class="form-actions">
        <button class="primary" type="submit" disabled={busy}>
          {busy ? t.saving : /^\d+$/.test(revision) ? t.save(revision) : t.saveAny}
        </button>
      </div>
    </form>
  );
}
