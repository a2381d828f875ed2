import { useState } from 'preact/hooks';
import type { SessionView } from '#core/messages/api-training';
import { SPEEDS } from '#core/training/names';
import { useApp } from '../../app-context.ts';
import { durationText } from '../../text/format.ts';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { trainingUrl } from './training-route.ts';
import { useStep } from './use-step.ts';

/** Start, freeze, resume, speed, end; and where the lesson stands. */
export function SteerPanel({ session }: { readonly session: SessionView }) {
  const { training } = useApp();
  const t = text.value.training;
  const d = t.desk;
  const step = useStep();
  const [asking, setAsking] = useState(false);
  const { state, hurried } = session;
  const overview = training.overview.value;
  const control = state === 'ended' ? null : (overview?.control ?? null);
  const isUnderWay = state === 'running' || state === 'frozen';
  const steer = (name: string, body: unknown = {}): void =>
    void step.take(() => training.steer(name, body)).then(() => setAsking(false));
  const facts: readonly (readonly [string, string])[] = [
    [d.facts.state, t.state[state]],
    [d.facts.mode, t.mode[session.mode]],
    [d.facts.seed, String(session.seed)],
    ...(control === null
      ? []
      : ([
          [d.facts.lessonTime, durationText(control.simulatedS)],
          [d.facts.speed, d.speedOf(control.speed)],
        ] as const)),
    [d.facts.marks, String(session.marks.length)],
    [d.facts.scored, hurried ? d.notScored : d.isScored],
  ];
  return (
    <section class="steer" aria-label={d.of(session.trainee, said(session.lesson.title))} data-state={state}>
      <h2>{d.of(session.trainee, said(session.lesson.title))}</h2>
      <dl class="steer-facts">
        {facts.map(([name, value]) => (
          <div key={name}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <div class="form-actions">
        {state === 'ready' && (
          <button
            class="primary"
            type="button"
            disabled={step.busy}
            onClick={() => steer('start', { speed: 1 })}
          >
            {d.start}
          </button>
        )}
        {state === 'running' && (
          <button class="primary" type="button" disabled={step.busy} onClick={() => steer('freeze')}>
            {d.freeze}
          </button>
        )}
        {state === 'frozen' && (
          <button class="primary" type="button" disabled={step.busy} onClick={() => steer('resume')}>
            {d.resume}
          </button>
        )}
        {state !== 'ended' && !asking && (
          <button type="button" disabled={step.busy} onClick={() => setAsking(true)}>
            {d.end}
          </button>
        )}
        {state === 'ended' && (
          <a class="button primary" href={trainingUrl({ view: 'trainingDebrief', id: session.id })}>
            {d.debrief}
          </a>
        )}
      </div>
      {asking && (
        <div class="summary">
          <p>{d.endAsk}</p>
          <div class="form-actions">
            <button class="primary" type="button" disabled={step.busy} onClick={() => steer('end')}>
              {d.endYes}
            </button>
            <button type="button" onClick={() => setAsking(false)}>
              {d.endNo}
            </button>
          </div>
        </div>
      )}
      {isUnderWay && (
        <fieldset class="speeds">
          <legend>{d.speed}</legend>
          {SPEEDS.map(speed => (
            <button
              key={speed}
              type="button"
              aria-pressed={control?.speed === speed}
              disabled={step.busy}
              onClick={() => steer('speed', { speed })}
            >
              {d.speedOf(speed)}
            </button>
          ))}
          <p class="hint">{d.speedNote}</p>
        </fieldset>
      )}
      <div role="alert">
        {step.failure !== null && (
          <>
            <p class="message out">{d.refused(step.failure)}</p>
            {overview?.controlProblem != null && state !== 'ended' && (
              <button type="button" disabled={step.busy} onClick={() => steer('end', { anyway: true })}>
                {d.endAnyway}
              </button>
            )}
          </>
        )}
      </div>
    </section>
  );
}
