import type { Debrief, SessionView } from '#core/messages/api-training';
import { useApp } from '../../app-context.ts';
import { OriginMark } from '../../parts/training-banner.tsx';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { format, manner, text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { paperManner } from '../joints/export-links.ts';
import { DebriefPoints } from './debrief-points.tsx';
import { DebriefStrips } from './debrief-strips.tsx';
import { DebriefTimeline } from './debrief-timeline.tsx';
import { ScoreCounts } from './score-counts.tsx';
import { SelfRating } from './self-rating.tsx';
import { exportUrl, pdfUrl } from './session-urls.ts';
import { StrayMarks } from './stray-marks.tsx';
import { WindowScores } from './window-scores.tsx';

/** After a lesson: first the trainee's own rating, then counts, each stretch, one line of time, the pipe, two and two. */
export function DebriefView({ id }: { readonly id: string }) {
  const { training } = useApp();
  const t = text.value.training;
  const d = t.debrief;
  // The stream tells when somebody rates it on another device, or it ends.
  const told = training.session.value;
  const version = told?.id === id ? `${told.state} ${told.selfRating}` : '';
  const { value, failure, again } = useRead(`session ${id} ${version}`, () =>
    training.ask<SessionView>(['sessions', id]),
  );
  if (value === null) {
    return failure === null ? (
      <p>{t.loading}</p>
    ) : (
      <p class="message nodata" role="alert">
        {t.failed(failure)}
      </p>
    );
  }
  const origin = value.lesson.replay ? 'replay' : 'simulated';
  return (
    <>
      <h1>{d.title(value.trainee)}</h1>
      <p class="hint">
        {d.head(said(value.lesson.title), t.mode[value.mode], String(value.seed), whenText(value.createdAt))}
      </p>
      <p>
        <OriginMark replay={value.lesson.replay} /> {d.says[origin]}
      </p>
      {value.state !== 'ended' && <p>{d.notEnded}</p>}
      {value.state === 'ended' && value.selfRating === null && <SelfRating id={id} done={again} />}
      {value.state === 'ended' && value.selfRating !== null && <Debriefed id={id} />}
    </>
  );
}

function Debriefed({ id }: { readonly id: string }) {
  const { training } = useApp();
  const t = text.value.training;
  const d = t.debrief;
  const { value, failure, again } = useRead(`debrief ${id}`, () =>
    training.ask<Debrief>(['sessions', id, 'debrief']),
  );
  if (value === null) {
    return failure === null ? (
      <p>{t.loading}</p>
    ) : (
      <p class="message nodata" role="alert">
        {t.failed(failure)}
      </p>
    );
  }
  const { session, score } = value;
  return (
    <>
      {session.selfRating !== null && <p>{d.rate.was(session.selfRating)}</p>}
      <ScoreCounts score={score} truthGap={session.truthGap} />
      <WindowScores debrief={value} />
      <StrayMarks debrief={value} />
      <DebriefTimeline debrief={value} />
      <DebriefStrips debrief={value} />
      <DebriefPoints session={session} done={again} />
      <p class="form-actions">
        <a class="button" href={pdfUrl(id, { zone: format().zone, ...paperManner(manner.value) })} download>
          {d.pdf}
        </a>
        <a class="button" href={exportUrl(id)} download>
          {d.export}
        </a>
      </p>
    </>
  );
}
