import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { windowAt } from '../../charts/place-map.ts';
import { UnrolledStrip } from '../../charts/unrolled-strip.tsx';
import { format, text } from '../../text/text.ts';
import { ExportPanel } from '../joints/export-panel.tsx';
import { jointUrl } from '../joints/joint-routes.ts';
import { usePeople } from '../verify/use-people.ts';
import { BesideJoints } from './beside-joints.tsx';
import { IndicationList } from './indication-list.tsx';
import { JointEvidence, ReviewDisposition } from './joint-evidence.tsx';
import { NoteList } from './note-list.tsx';
import { PassInspector } from './pass-inspector.tsx';
import { PassTable } from './pass-table.tsx';
import { type ReviewRoute, reviewUrl } from './review-route.ts';
import { toInspector } from './to-inspector.ts';
import { useCursor } from './use-cursor.ts';
import { useReview } from './use-review.ts';

/** One joint along its weld: where everything lies, each pass in detail, what NDT called and what people found. */
export function ReviewView({ route }: { readonly route: ReviewRoute }) {
  const t = text.value.review;
  const people = usePeople();
  const { joint } = route;
  const { review, failure } = useReview(joint);
  return (
    <section class="joint-page review">
      <p class="form-actions no-gap">
        <a class="button" href={jointUrl(joint)}>
          {t.back}
        </a>
      </p>
      <h1>
        <bdi>{t.title(joint)}</bdi>
        {review !== null && review.origin !== 'real' && (
          <strong class="origin-mark">{text.value.origin[review.origin]}</strong>
        )}
      </h1>
      {failure !== null && (
        <p class="message nodata" role="alert">
          {t.failed(failure)}
        </p>
      )}
      {review === null && failure === null && <p>{t.loading}</p>}
      {review !== null && <Reviewed review={review} route={route} people={people} />}
    </section>
  );
}

interface ReviewedProps {
  readonly review: JointReview;
  readonly route: ReviewRoute;
  readonly people: ReturnType<typeof usePeople>;
}

function Reviewed({ review, route, people }: ReviewedProps) {
  const t = text.value.review;
  const { measure } = format();
  const { procedure, outsideDiameterMm, wallThicknessMm, passes } = review;
  const picked = passes.find(({ message }) => message.passId === route.pass) ?? firstAskedAbout(review);
  const pickedId = picked?.message.passId ?? null;
  const at = { ...route, pass: pickedId };
  const [cursorMm, moveCursor] = useCursor(at);
  const wps = procedure === null ? t.noWps : `${procedure.id} rev. ${procedure.revision}`;
  return (
    <>
      <p>{t.facts(wps, measure('length', outsideDiameterMm), measure('size', wallThicknessMm))}</p>
      <p class="hint">
        {t.notAcceptance} {t.positions}
      </p>
      <h2>{t.stripTitle}</h2>
      {passes.length === 0 ? (
        <p>{t.noPasses}</p>
      ) : (
        <>
          <UnrolledStrip
            review={review}
            picked={pickedId}
            urlOf={pass =>
              reviewUrl({ ...route, pass: pass.message.passId, fromMm: null, toMm: null, cursorMm: null })
            }
            onPick={toInspector}
            cursor={cursorShare(picked, cursorMm)}
          />
          <PassTable review={review} route={route} picked={pickedId} />
        </>
      )}
      <JointEvidence review={review} nameOf={people.nameOf} />
      <IndicationList review={review} route={route} people={people} />
      {picked !== null && (
        <>
          <PassInspector
            key={pickedId}
            review={review}
            pass={picked}
            route={at}
            cursorMm={cursorMm}
            moveCursor={moveCursor}
          />
          <BesideJoints review={review} pass={picked} route={at} />
        </>
      )}
      <NoteList review={review} pass={picked} route={route} people={people} />
      <ReviewDisposition review={review} nameOf={people.nameOf} />
      <ExportPanel joint={review.joint} origin={review.origin} />
    </>
  );
}

/** The first with a deviation, else under an indication, else the first. */
function firstAskedAbout({ passes, indications }: JointReview): ReviewPass | null {
  const called = new Set(indications.flatMap(({ covered }) => covered.map(({ passId }) => passId)));
  return (
    passes.find(({ message }) => message.deviations.length > 0) ??
    passes.find(({ message }) => called.has(message.passId)) ??
    passes[0] ??
    null
  );
}

/** Where the cursor stands on the circumference, as a share from 12 o'clock clockwise. */
function cursorShare(pass: ReviewPass | null, cursorMm: number | null): number | null {
  if (pass === null || cursorMm === null) return null;
  const window = windowAt(pass.windows, cursorMm);
  if (window === null || window.fromClock === null || window.toClock === null) return null;
  const { fromMm, toMm, fromClock, toClock } = window;
  const share =
    fromMm === null || toMm === null || toMm === fromMm ? 0 : (cursorMm - fromMm) / (toMm - fromMm);
  // The short way round, also over 12.
  const apart = ((toClock - fromClock + 18) % 12) - 6;
  return ((((fromClock + share * apart) % 12) + 12) % 12) / 12;
}
