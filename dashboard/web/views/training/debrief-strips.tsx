import type { JointReview } from '#core/messages/api-review';
import type { Debrief } from '#core/messages/api-training';
import { useApp } from '../../app-context.ts';
import { truthStrip } from '../../charts/truth-geometry.ts';
import { TruthStrip } from '../../charts/truth-strip.tsx';
import { text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { reviewUrl, wholeReview } from '../review/review-route.ts';
import { type Frames, useFrames } from './use-frames.ts';

/** Truth and marks on each joint of the lesson, unrolled. */
export function DebriefStrips({ debrief }: { readonly debrief: Debrief }) {
  const t = text.value.training.debrief;
  if (debrief.joints.length === 0) return null;
  return (
    <section aria-label={t.stripTitle}>
      <h2>{t.stripTitle}</h2>
      {debrief.joints.map(({ joint, origin }) => (
        <JointStrip key={`${origin} ${joint}`} joint={joint} origin={origin} debrief={debrief} />
      ))}
      <p class="hint">{t.stripNote}</p>
    </section>
  );
}

interface JointStripProps {
  readonly joint: string;
  readonly origin: JointReview['origin'];
  readonly debrief: Debrief;
}

function JointStrip({ joint, origin, debrief: { session } }: JointStripProps) {
  const { api } = useApp();
  const t = text.value.training;
  const assigned = useFrames();
  const { value, failure } = useRead(`review ${joint} ${origin}`, () =>
    api.get<JointReview>(['joints', joint, 'review'], { origin }),
  );
  if (failure !== null) return <p class="message nodata">{t.failed(failure)}</p>;
  if (value === null) return <p>{t.loading}</p>;
  const model = truthStrip(stripOf(value, session, assigned));
  return (
    <>
      <h3>{t.debrief.stripOf(joint)}</h3>
      {model.passes.length > 0 && (
        <TruthStrip model={model} label={`${t.debrief.stripOf(joint)}: ${t.truth.strip}`} />
      )}
      {model.unplaced > 0 && <p class="hint">{t.truth.unplaced(model.unplaced)}</p>}
      <p>
        <a class="button" href={reviewUrl(wholeReview(joint))}>
          {t.debrief.review(joint)}
        </a>
      </p>
    </>
  );
}

/** Places from the passes as recorded; a mark lies in the pass that its rig welded at that moment. */
function stripOf(
  review: JointReview,
  session: Debrief['session'],
  assigned: Pick<Frames, 'frameOf' | 'endMm'>,
): Parameters<typeof truthStrip>[0] {
  const { outsideDiameterMm, joint } = review;
  const passOf = (rig: string, at: string) =>
    review.passes.find(
      ({ message }) => message.rig === rig && message.startUtc <= at && at <= message.endUtc,
    );
  return {
    windows: session.truth.filter(window => window.joint === joint),
    marks: session.marks.flatMap(mark => {
      const pass = passOf(mark.rig, mark.at)?.work.pass ?? null;
      return pass === null ? [] : [{ mark, pass }];
    }),
    rigs: [],
    order: review.procedure?.passes ?? [],
    frameOf: (rig, pass) => {
      const found =
        review.passes.find(one => one.message.rig === rig && one.work.pass === pass) ??
        review.passes.find(one => one.message.rig === rig);
      const side = session.rigs.find(one => one.rig === rig)?.side ?? found?.work.side ?? null;
      // Of a pass whose start is not recorded: where the rig starts by its assignment now.
      if (found?.startDegrees == null || side === null || outsideDiameterMm === null)
        return assigned.frameOf(rig, pass);
      return { side, startDegrees: found.startDegrees, outsideDiameterMm };
    },
    endMm: (rig, pass) =>
      review.passes.find(one => one.message.rig === rig && one.work.pass === pass)?.message.pass
        .endPositionMm ?? assigned.endMm(rig, pass),
  };
}
