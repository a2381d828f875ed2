import { useEffect } from 'preact/hooks';
import { trainerLink } from '#core/training/trainer-link';
import { useApp } from '../../app-context.ts';
import { isThisComputer } from '../../data/this-computer.ts';
import { More } from '../../parts/more.tsx';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { InjectForm } from './inject-form.tsx';
import { MarksList } from './marks-list.tsx';
import { OpenLesson } from './open-lesson.tsx';
import { SteerPanel } from './steer-panel.tsx';
import { TrainerNotes } from './trainer-notes.tsx';
import { TruthNow } from './truth-now.tsx';

/** How often the trainer's screen asks where the rigs are and what has become true, ms. */
const ASK_EVERY_MS = 2000;

/** The trainer's desk: open a lesson, steer it, put things in, see the truth and the marks. */
export function TrainerView() {
  const { training } = useApp();
  const t = text.value.training.desk;
  const held = training.key.held.value;
  useEffect(() => {
    if (held === null) return;
    void training.refresh();
    const timer = setInterval(() => {
      if (document.visibilityState === 'visible') void training.refresh();
    }, ASK_EVERY_MS);
    return () => clearInterval(timer);
  }, [held, training]);
  if (held === null) {
    return (
      <>
        <h1>{t.title}</h1>
        <p>{t.noKey}</p>
      </>
    );
  }
  const session = training.session.value;
  const isOpen = session !== null && session.state !== 'ended';
  const here = isThisComputer(location.hostname);
  const problem = training.overview.value?.controlProblem ?? null;
  return (
    <>
      <h1>{t.title}</h1>
      {problem !== null && <p class="message nodata">{t.controlAway(said(problem))}</p>}
      {session !== null && <SteerPanel session={session} />}
      {session !== null && isOpen && (
        <>
          <TruthNow session={session} />
          <MarksList session={session} />
          {session.state !== 'ready' && <InjectForm />}
          <TrainerNotes session={session} />
        </>
      )}
      {!isOpen && <OpenLesson />}
      <More label={here ? t.againTitle : t.secondTitle} open={false}>
        {here && <p>{t.hereOnly}</p>}
        <p>{here ? t.again : t.second}</p>
        <p class="trainer-link">
          <code>{trainerLink(location.href.replace(/#.*$/, ''), held)}</code>
        </p>
        <p>{t.keyHeld}</p>
        <button type="button" onClick={() => training.key.drop()}>
          {t.keyDrop}
        </button>
      </More>
    </>
  );
}
