import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { trainingUrl } from './training-route.ts';

/** For the trainee: what is going on, how to mark, and the way to the debrief. */
export function TrainingHome() {
  const { training } = useApp();
  const t = text.value.training.home;
  const session = training.session.value;
  const state = session === null || session.state === 'ended' ? 'none' : session.state;
  return (
    <>
      <h1>{t.title}</h1>
      <p>{state === 'none' ? t.none : state === 'ready' ? t.ready : t.runs}</p>
      <p class="form-actions">
        <a class="button primary" href="#/">
          {t.live}
        </a>
        {session?.state === 'ended' && (
          <a class="button" href={trainingUrl({ view: 'trainingDebrief', id: session.id })}>
            {t.last}
          </a>
        )}
      </p>
      <h2>{t.how}</h2>
      <ol>
        {t.steps.map(step => (
          <li key={step}>{step}</li>
        ))}
      </ol>
      <p class="note">{t.caution}</p>
    </>
  );
}
