import { useEffect, useState } from 'preact/hooks';
import type { ProcedureEntry } from '#core/messages/api-lists';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { readDraft, writeDraft } from './draft-store.ts';
import { FileButton } from './file-button.tsx';
import { DraftReader } from './procedure-draft.ts';
import { procedureUrl } from './procedures-route.ts';
import { readProcedureFile } from './read-procedure-file.ts';
import { ExampleMark, StateMark } from './state-mark.tsx';
import { useStates } from './states.ts';
import { unitSystem } from './unit-system.ts';

interface Family {
  readonly id: string;
  /** Newest first. */
  readonly revisions: readonly ProcedureEntry[];
}

function familiesOf(all: readonly ProcedureEntry[]): readonly Family[] {
  const ids = [...new Set(all.map(({ procedure }) => procedure.id))].toSorted();
  return ids.map(id => ({
    id,
    revisions: all
      .filter(({ procedure }) => procedure.id === id)
      .toSorted((a, b) => b.procedure.revision - a.procedure.revision),
  }));
}

/** Every stored procedure with what may be done with it. */
export function ProcedureList() {
  const { procedures, go } = useApp();
  const t = text.value.procedures;
  const states = useStates();
  const [problem, setProblem] = useState<string | null>(null);
  useEffect(() => void procedures.refresh(), [procedures]);
  const families = familiesOf(procedures.all.value);
  const failure = procedures.failure.value;

  function take(content: string): void {
    const reading = readProcedureFile(content);
    if (reading.kind === 'problem') {
      const { problem: found } = reading;
      const f = t.edit.file;
      setProblem('at' in found ? f[found.kind](found.at) : f[found.kind]);
      return;
    }
    if (readDraft(localStorage, 'new') !== null) {
      setProblem(t.draftInWay);
      return;
    }
    const draft = new DraftReader(unitSystem().value).read(reading.procedure);
    writeDraft(localStorage, 'new', { atMs: Date.now(), draft });
    go({ view: 'procedureNew' });
  }

  return (
    <section class="sheet procedures">
      <h1>{t.title}</h1>
      <p>{t.intro}</p>
      <div class="form-actions">
        <a class="button primary" href="#/procedures/new">
          {t.newOne}
        </a>
        <FileButton
          label={t.importJson}
          accept=".json,application/json"
          take={take}
          refuse={() => setProblem(t.edit.file.tooLarge)}
        />
      </div>
      <div role="alert">{problem !== null && <p class="error">{problem}</p>}</div>
      {failure !== null && <p class="message out">{t.failed(failure === '' ? t.noServer : failure)}</p>}
      {families.length === 0 && failure === null && <p>{procedures.loaded.value ? t.none : t.loading}</p>}
      {families.map(({ id, revisions }) => (
        <section key={id} class="family">
          <h2>{id}</h2>
          <ul class="revisions">
            {revisions.map(({ procedure }) => {
              const { revision, title, exampleOnly, passes } = procedure;
              return (
                <li key={revision}>
                  <a href={procedureUrl(id, revision)}>
                    <span class="revision-head">
                      <strong>
                        <span class="sr-only">{id} </span>
                        {t.revision(String(revision))}
                      </strong>
                      <StateMark state={states.of(id, revision).state} />
                      {exampleOnly === true && <ExampleMark />}
                    </span>
                    <span>{title}</span>
                    <span class="hint">{t.passes(passes.length)}</span>
                  </a>
                </li>
              );
            })}
          </ul>
        </section>
      ))}
    </section>
  );
}
