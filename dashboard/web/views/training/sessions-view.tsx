import { useState } from 'preact/hooks';
import type { SessionDeleted, SessionHead } from '#core/messages/api-training';
import { useApp } from '../../app-context.ts';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { exportUrl } from './session-urls.ts';
import { trainingUrl } from './training-route.ts';
import { useStep } from './use-step.ts';

/** Sessions kept on this machine: debrief, export, delete. For the trainer. */
export function SessionsView() {
  const { training } = useApp();
  const t = text.value.training;
  const s = t.sessions;
  const held = training.key.held.value;
  const { value, failure, again } = useRead(`sessions ${held}`, () =>
    training.ask<{ sessions: SessionHead[] }>(['sessions']),
  );
  const [stays, setStays] = useState<readonly string[] | null>(null);
  if (held === null) {
    return (
      <>
        <h1>{s.title}</h1>
        <p>{t.desk.noKey}</p>
      </>
    );
  }
  return (
    <>
      <h1>{s.title}</h1>
      <p>{s.intro}</p>
      <div role="alert">{failure !== null && <p class="message nodata">{t.failed(failure)}</p>}</div>
      <div role="status">
        {stays !== null && (
          <>
            <p>
              <strong>{s.deleted}</strong>
            </p>
            <ul>
              {stays.map(one => (
                <li key={one}>{said(one)}</li>
              ))}
            </ul>
          </>
        )}
      </div>
      {value === null && failure === null && <p>{t.loading}</p>}
      {value?.sessions.length === 0 && <p>{s.none}</p>}
      <ul class="session-rows">
        {value?.sessions.map(session => (
          <SessionRow
            key={session.id}
            session={session}
            deleted={left => {
              setStays(left);
              again();
            }}
          />
        ))}
      </ul>
    </>
  );
}

interface SessionRowProps {
  readonly session: SessionHead;
  readonly deleted: (stays: readonly string[]) => void;
}

function SessionRow({ session, deleted }: SessionRowProps) {
  const { training } = useApp();
  const t = text.value.training;
  const s = t.sessions;
  const step = useStep();
  const [asking, setAsking] = useState(false);
  const { id, trainee, lesson, mode, seed, state, createdAt, hurried, selfRating, marks } = session;
  const isOver = state === 'ended';
  const facts = [
    t.state[state],
    s.marks(marks),
    ...(selfRating === null ? [] : [s.rated(selfRating)]),
    ...(hurried ? [s.hurried] : []),
  ];

  async function remove(): Promise<void> {
    await step.take(async () => {
      const { stays } = await training.ask<SessionDeleted>(['sessions', id], { method: 'DELETE' });
      deleted(stays);
    });
  }

  return (
    <li class="session-row">
      <p>
        <strong>
          <bdi>{trainee}</bdi>
        </strong>{' '}
        <span class="hint">{whenText(createdAt)}</span>
      </p>
      <p>{s.line(said(lesson.title), t.mode[mode], String(seed))}</p>
      <p class="hint">{facts.join(', ')}</p>
      <div class="form-actions">
        {isOver && (
          <a class="button" href={trainingUrl({ view: 'trainingDebrief', id })}>
            {s.debrief}
            <span class="sr-only">: {trainee}</span>
          </a>
        )}
        {isOver && selfRating !== null && (
          <a class="button" href={exportUrl(id)} download>
            {s.export}
            <span class="sr-only">: {trainee}</span>
          </a>
        )}
        {isOver && !asking && (
          <button type="button" onClick={() => setAsking(true)}>
            {s.delete}
            <span class="sr-only">: {trainee}</span>
          </button>
        )}
      </div>
      {asking && (
        <div class="summary">
          <p>{s.deleteAsk(trainee)}</p>
          <div class="form-actions">
            <button class="primary" type="button" disabled={step.busy} onClick={() => void remove()}>
              {s.deleteYes}
            </button>
            <button type="button" onClick={() => setAsking(false)}>
              {s.deleteNo}
            </button>
          </div>
        </div>
      )}
      <div role="alert">{step.failure !== null && <p class="message out">{s.failed(step.failure)}</p>}</div>
    </li>
  );
}
