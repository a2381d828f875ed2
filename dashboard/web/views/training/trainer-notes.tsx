import { useState } from 'preact/hooks';
import type { SessionView } from '#core/messages/api-training';
import { useApp } from '../../app-context.ts';
import { format, text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { useStep } from './use-step.ts';

/** What the trainer wants to remember for the debrief, each with its time. */
export function TrainerNotes({ session }: { readonly session: SessionView }) {
  const { training } = useApp();
  const t = text.value.training;
  const step = useStep();
  const [typed, setTyped] = useState('');
  const [tried, setTried] = useState(false);

  async function add(): Promise<void> {
    setTried(true);
    if (typed.trim() === '') return;
    if (!(await step.take(() => training.steer('notes', { text: typed.trim() })))) return;
    setTyped('');
    setTried(false);
  }

  return (
    <section aria-label={t.notes.title}>
      <h2>{t.notes.title}</h2>
      <form
        class="form-sheet"
        noValidate
        onSubmit={event => {
          event.preventDefault();
          void add();
        }}
      >
        <TypedField
          id="training-note"
          label={t.notes.text}
          kind="text"
          max={500}
          value={typed}
          error={tried && typed.trim() === '' ? t.notes.missing : null}
          type={setTyped}
        />
        <div role="alert">
          {step.failure !== null && <p class="message out">{t.desk.refused(step.failure)}</p>}
        </div>
        <div class="form-actions">
          <button type="submit" disabled={step.busy}>
            {t.notes.add}
          </button>
        </div>
      </form>
      {session.notes.length === 0 && <p class="hint">{t.notes.none}</p>}
      <ul class="training-lines">
        {session.notes.toReversed().map(({ at, text: note }) => (
          <li key={at}>
            <span class="hint">{format().timeOfDay(Date.parse(at))}</span> <bdi>{note}</bdi>
          </li>
        ))}
      </ul>
    </section>
  );
}
