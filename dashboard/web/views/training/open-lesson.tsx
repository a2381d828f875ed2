import { useState } from 'preact/hooks';
import type { NewSession } from '#core/messages/api-training';
import { useApp } from '../../app-context.ts';
import { Pick } from '../../parts/pick.tsx';
import { said } from '../../text/said.ts';
import { format, text } from '../../text/text.ts';
import { Choice, TypedField } from '../verify/fields.tsx';
import { useStep } from './use-step.ts';

const MOST_SEED = 0xffff_ffff;

/** The seed that was typed: null is the lesson's own, undefined none at all. */
export function typedSeed(typed: string): number | null | undefined {
  const text = typed.trim();
  if (text === '') return null;
  const seed = Number(text);
  return /^\d+$/.test(text) && seed <= MOST_SEED ? seed : undefined;
}

/** Which lesson, for whom, with hints or without. */
export function OpenLesson() {
  const { training } = useApp();
  const t = text.value.training.desk;
  const lessons = training.overview.value?.lessons ?? [];
  const step = useStep();
  const [tried, setTried] = useState(false);
  const [lesson, setLesson] = useState('');
  const [trainee, setTrainee] = useState('');
  const [trainer, setTrainer] = useState(training.session.peek()?.trainer ?? '');
  const [typed, setTyped] = useState('');
  const [mode, setMode] = useState<NewSession['mode']>('practice');
  const chosen = lessons.find(({ id }) => id === lesson);
  const seed = typedSeed(typed);
  const wrong = {
    lesson: chosen === undefined,
    trainee: trainee.trim() === '',
    trainer: trainer.trim() === '',
    seed: seed === undefined,
  };
  const error = (field: keyof typeof wrong): string | null =>
    tried && wrong[field] ? t.missing[field] : null;

  async function open(): Promise<void> {
    setTried(true);
    if (Object.values(wrong).some(Boolean)) return;
    await step.take(() =>
      training.open({ lesson, trainee: trainee.trim(), trainer: trainer.trim(), seed, mode }),
    );
  }

  return (
    <form
      class="form-sheet"
      noValidate
      aria-label={t.openTitle}
      onSubmit={event => {
        event.preventDefault();
        void open();
      }}
    >
      <h2>{t.openTitle}</h2>
      <Pick
        name="lesson"
        legend={t.lesson}
        empty={t.noLessons}
        options={lessons.map(({ id, title, minutes, rigs }) => ({
          value: id,
          label: t.lessonLine(said(title), format().fixed(minutes, minutes % 1 === 0 ? 0 : 1), rigs),
        }))}
        value={lesson}
        error={error('lesson')}
        pick={setLesson}
      />
      {chosen !== undefined && (
        <section class="summary" aria-label={t.objectives}>
          <h3>{t.objectives}</h3>
          <ul>
            {chosen.objectives.map(one => (
              <li key={one}>{said(one)}</li>
            ))}
          </ul>
          {chosen.replay && <p>{t.replay}</p>}
        </section>
      )}
      <div class="field-pair">
        <TypedField
          id="training-trainee"
          label={t.trainee}
          kind="text"
          max={80}
          value={trainee}
          error={error('trainee')}
          type={setTrainee}
        />
        <TypedField
          id="training-trainer"
          label={t.trainer}
          kind="text"
          max={80}
          value={trainer}
          error={error('trainer')}
          type={setTrainer}
        />
      </div>
      <Choice
        name="training-mode"
        legend={t.mode}
        options={(['practice', 'check'] as const).map(value => ({ value, label: t.modes[value] }))}
        value={mode}
        pick={setMode}
      />
      <TypedField
        id="training-seed"
        label={t.seed}
        hint={t.seedHint(chosen === undefined ? null : String(chosen.seed))}
        value={typed}
        error={error('seed')}
        type={setTyped}
      />
      <div role="alert">{step.failure !== null && <p class="message out">{t.refused(step.failure)}</p>}</div>
      <div class="form-actions">
        <button class="primary" type="submit" disabled={step.busy}>
          {step.busy ? t.busy : t.open}
        </button>
      </div>
    </form>
  );
}
