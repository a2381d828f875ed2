import { useEffect, useState } from 'preact/hooks';
import type { NewAssignment, Person } from '#core/messages/api';
import { useApp } from '../../app-context.ts';
import { failureSentence } from '../../data/api-client.ts';
import { rememberedPerson, rememberPerson } from '../../data/remembered-person.ts';
import { text } from '../../text/text.ts';
import { storedText } from '../../text/typed-number.ts';
import { AssignBeside } from './assign-beside.tsx';
import { AssignFields } from './assign-fields.tsx';
import { type AssignForm, assignmentOf, chosenProcedure, missingFields, NEW_PERSON } from './assign-form.ts';
import { ProposalPanel } from './proposal-panel.tsx';

interface AssignViewProps {
  readonly site: string;
  readonly rig: string;
}

const EMPTY: AssignForm = {
  procedure: '',
  joint: '',
  side: '',
  pass: '',
  who: '',
  newName: '',
  outsideDiameter: '',
  start: '0',
};

/** What a rig is about to weld, entered by a named person. */
export function AssignView({ site, rig }: AssignViewProps) {
  const { rigs } = useApp();
  const t = text.value;
  if (rigs.entries.value.some(entry => entry.key === `${site}/${rig}`))
    return <AssignSheet site={site} rig={rig} />;
  return <p class="sheet">{rigs.loaded.value ? t.trends.unknownRig(rig) : t.empty.connecting}</p>;
}

function AssignSheet({ site, rig }: AssignViewProps) {
  const { api, rigs, procedures, go } = useApp();
  const t = text.value.work;
  const view = rigs.entry(`${site}/${rig}`)?.view.value ?? null;
  const [people, setPeople] = useState<readonly Person[]>([]);
  const [form, setForm] = useState<AssignForm>(() => {
    const work = view?.work ?? null;
    const who = rememberedPerson(localStorage)?.id ?? '';
    if (work === null) return { ...EMPTY, who };
    return {
      ...EMPTY,
      who,
      procedure: `${work.procedureId}@${work.procedureRevision}`,
      joint: work.joint,
      side: work.side,
      pass: work.pass,
      outsideDiameter: storedText('size', view?.outsideDiameterMm),
    };
  });
  const [tried, setTried] = useState<{ readonly what: 'form' | 'clear' } | null>(null);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);

  useEffect(() => {
    void procedures.refresh();
    api.people().then(setPeople, () => setPeople([]));
  }, [api, procedures]);

  const procedure = chosenProcedure(form, procedures.all.value);
  const missing = missingFields(form, procedure, people);

  // To clear the work only the name is needed.
  const neededFor = (what: 'form' | 'clear') =>
    what === 'form' ? missing : missing.filter(field => field === 'who');
  useEffect(() => {
    if (tried !== null) document.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [tried]);

  async function author(): Promise<string> {
    if (form.who !== NEW_PERSON) {
      const known = people.find(({ id }) => id === form.who);
      if (known !== undefined) rememberPerson(localStorage, known);
      return form.who;
    }
    const person = await api.addPerson({ name: form.newName.trim(), roles: ['viewer'] });
    // Kept, so that a second try after a refusal does not enter the name twice.
    setPeople(known => [...known, person]);
    rememberPerson(localStorage, person);
    setForm(now => ({ ...now, who: person.id, newName: '' }));
    return person.id;
  }

  async function send(work: 'form' | 'clear'): Promise<void> {
    setTried({ what: work });
    if (neededFor(work).length > 0) {
      setFailure(null);
      return;
    }
    await assign(async () => {
      const by = await author();
      return work === 'clear' || procedure === null
        ? { site, rig, author: by, work: null }
        : assignmentOf(form, procedure, { site, rig }, by);
    });
  }

  async function assign(made: () => Promise<NewAssignment>): Promise<void> {
    setFailure(null);
    setBusy(true);
    try {
      await api.assign(await made());
      go({ view: 'live' });
    } catch (error) {
      const known = failureSentence(error, t.noServer);
      setFailure(t.failed(known));
    } finally {
      setBusy(false);
    }
  }

  const name = text.value.rig(rig);
  return (
    <section class="sheet form-sheet">
      <p>
        <a class="button" href="#/">
          {text.value.back}
        </a>
      </p>
      <h1>{t.title(name)}</h1>
      <p class="note">{t.note}</p>
      <ProposalPanel
        site={site}
        rig={rig}
        busy={busy}
        current={view?.work ?? null}
        confirm={assignment => void assign(async () => assignment)}
        use={part => setForm(now => ({ ...now, ...part }))}
      />
      <form
        noValidate
        onSubmit={event => {
          event.preventDefault();
          void send('form');
        }}
      >
        <AssignFields
          form={form}
          change={part => setForm(now => ({ ...now, ...part }))}
          procedures={procedures.all.value}
          procedure={procedure}
          people={people}
          missing={tried === null ? [] : neededFor(tried.what)}
          others={rigs.entries.value
            .filter(entry => entry.key !== `${site}/${rig}`)
            .map(entry => ({ rig: entry.rig.rig, joint: entry.view.value.work?.joint ?? null }))}
        />
        <AssignBeside joint={form.joint.trim()} chosen={{ side: form.side, pass: form.pass, procedure }} />
        {missing.length === 0 && procedure !== null && (
          <p class="summary">
            {t.summary(
              name,
              form.joint.trim(),
              form.side,
              form.pass,
              `${procedure.id} rev. ${procedure.revision}`,
            )}
          </p>
        )}
        <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
        <div class="form-actions">
          <button class="primary" type="submit" disabled={busy}>
            {busy ? t.submitting : t.submit}
          </button>
          {view?.work !== null && (
            <button type="button" disabled={busy} onClick={() => void send('clear')}>
              {t.clear}
            </button>
          )}
        </div>
      </form>
    </section>
  );
}
