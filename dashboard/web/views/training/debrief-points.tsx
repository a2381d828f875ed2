import { useState } from 'preact/hooks';
import type { TrainingSession } from '#core/training/session';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { useStep } from './use-step.ts';

const PLACES = [0, 1] as const;

interface DebriefPointsProps {
  readonly session: TrainingSession;
  readonly done: () => void;
}

/** Two things to keep, two to change: written on the trainer's screen, read on both. */
export function DebriefPoints({ session, done }: DebriefPointsProps) {
  const { training } = useApp();
  const t = text.value.training.debrief;
  const isTrainer = training.key.held.value !== null;
  const { keep, change } = session;
  return (
    <section aria-label={t.pointsTitle}>
      <h2>{t.pointsTitle}</h2>
      {isTrainer ? (
        <PointsForm session={session} done={done} />
      ) : keep.length + change.length === 0 ? (
        <p class="hint">{t.pointsNone}</p>
      ) : (
        <>
          <Points title={t.keepTitle} points={keep} />
          <Points title={t.changeTitle} points={change} />
        </>
      )}
    </section>
  );
}

function Points({ title, points }: { readonly title: string; readonly points: readonly string[] }) {
  if (points.length === 0) return null;
  return (
    <>
      <h3>{title}</h3>
      <ul>
        {points.map(point => (
          <li key={point}>
            <bdi>{point}</bdi>
          </li>
        ))}
      </ul>
    </>
  );
}

function PointsForm({ session, done }: DebriefPointsProps) {
  const { training } = useApp();
  const t = text.value.training.debrief;
  const step = useStep();
  const [typed, setTyped] = useState({
    keep: PLACES.map(i => session.keep[i] ?? ''),
    change: PLACES.map(i => session.change[i] ?? ''),
  });
  const [saved, setSaved] = useState(false);
  const type = (list: 'keep' | 'change', place: number, value: string): void => {
    setSaved(false);
    setTyped(now => ({ ...now, [list]: now[list].map((old, i) => (i === place ? value : old)) }));
  };

  async function save(): Promise<void> {
    const filled = (list: readonly string[]): string[] =>
      list.map(one => one.trim()).filter(one => one !== '');
    const body = { keep: filled(typed.keep), change: filled(typed.change) };
    const isKept = await step.take(async () => {
      await training.ask(['sessions', session.id, 'debrief'], { body });
    });
    setSaved(isKept);
    if (isKept) done();
  }

  return (
    <form
      class="form-sheet"
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void save();
      }}
    >
      <div class="field-pair">
        {(['keep', 'change'] as const).map(list => (
          <div key={list}>
            {PLACES.map(place => (
              <TypedField
                key={place}
                id={`debrief-${list}-${place}`}
                label={t[list](place + 1)}
                kind="text"
                max={200}
                value={typed[list][place] ?? ''}
                error={null}
                type={value => type(list, place, value)}
              />
            ))}
          </div>
        ))}
      </div>
      <div role="alert">
        {step.failure !== null && <p class="message out">{t.saveFailed(step.failure)}</p>}
      </div>
      <div class="form-actions">
        <button class="primary" type="submit" disabled={step.busy}>
          {t.save}
        </button>
      </div>
      <p role="status">{saved ? t.saved : ''}</p>
    </form>
  );
}
