import { useEffect } from 'preact/hooks';
import type { Procedure } from '#core/procedure/procedure';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { readDraft } from './draft-store.ts';
import { EditForm } from './edit-form.tsx';
import { DraftReader, emptyDraft, type ProcedureDraft } from './procedure-draft.ts';
import { BackToList } from './procedure-sheet.tsx';
import { unitSystem } from './unit-system.ts';

interface EditViewProps {
  /** The revision a new one is made from; null for a new procedure. */
  readonly from: { readonly id: string; readonly revision: number } | null;
}

/** The stored revision as the start of the next one. */
function nextOf(procedure: Procedure, newest: number): ProcedureDraft {
  const draft = new DraftReader(unitSystem().value).read(procedure);
  const { ['procedure-revision']: _gone, ...originals } = draft.originals;
  return { ...draft, originals, fields: { ...draft.fields, revision: String(newest + 1) } };
}

/** Making a revision: kept on this device as it is typed, stored by the server as a draft. */
export function EditView({ from }: EditViewProps) {
  const { procedures } = useApp();
  const t = text.value.procedures;
  useEffect(() => void procedures.refresh(), [procedures]);
  const name = from === null ? 'new' : `${from.id}.${from.revision}`;
  const title = from === null ? t.edit.newTitle : t.edit.reviseTitle(from.id, String(from.revision));

  const source = from === null ? null : procedures.find(from.id, from.revision);
  const kept = readDraft(localStorage, name);
  if (kept === null && from !== null && source === null) {
    return (
      <section class="sheet procedures">
        <BackToList />
        <h1>{title}</h1>
        <p>{procedures.loaded.value ? t.unknown(from.id, String(from.revision)) : t.loading}</p>
      </section>
    );
  }
  const revisions = procedures.all.value
    .filter(({ procedure }) => procedure.id === from?.id)
    .map(({ procedure }) => procedure.revision);
  return (
    <section class="sheet form-sheet procedures edit">
      <BackToList />
      <h1>{title}</h1>
      <EditForm
        key={name}
        name={name}
        kept={kept}
        fresh={() =>
          source === null
            ? emptyDraft(unitSystem().value)
            : nextOf(source, Math.max(source.revision, ...revisions))
        }
      />
    </section>
  );
}
