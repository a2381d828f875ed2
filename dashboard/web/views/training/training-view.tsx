import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { DebriefView } from './debrief-view.tsx';
import { SessionsView } from './sessions-view.tsx';
import { TrainerView } from './trainer-view.tsx';
import { TrainingHome } from './training-home.tsx';
import { type TrainingRoute, trainingUrl } from './training-route.ts';

const TABS = [
  { view: 'training' },
  { view: 'trainingTrainer' },
  { view: 'trainingSessions' },
] as const satisfies readonly TrainingRoute[];

/** Training: for the trainee what it is about, for the trainer the lesson and the sessions kept, for both the debrief. */
export function TrainingView({ route }: { readonly route: TrainingRoute }) {
  const { training } = useApp();
  const t = text.value.training;
  const isTrainer = training.key.held.value !== null;
  const overview = training.overview.value;
  const failure = training.failure.value;
  return (
    <section class="sheet training">
      {isTrainer && training.isOn && (
        <nav class="changes-tabs" aria-label={t.label}>
          {TABS.map(tab => (
            <a
              key={tab.view}
              class="button"
              href={trainingUrl(tab)}
              {...(tab.view === route.view ? { 'aria-current': 'page' as const } : {})}
            >
              {t.tabs[tab.view]}
            </a>
          ))}
        </nav>
      )}
      <div role="alert">
        {failure !== null && (
          <p class="message nodata">{t.failed(failure === '' ? text.value.changes.noServer : failure)}</p>
        )}
      </div>
      {overview === null && failure === null && <p>{t.loading}</p>}
      {overview?.mode === 'off' && <Off />}
      {overview?.mode === 'training' && route.view === 'training' && <TrainingHome />}
      {overview?.mode === 'training' && route.view === 'trainingTrainer' && <TrainerView />}
      {overview?.mode === 'training' && route.view === 'trainingSessions' && <SessionsView />}
      {overview?.mode === 'training' && route.view === 'trainingDebrief' && (
        <DebriefView key={route.id} id={route.id} />
      )}
    </section>
  );
}

function Off() {
  const t = text.value.training;
  return (
    <>
      <h1>{t.home.title}</h1>
      <p>{t.off}</p>
    </>
  );
}
