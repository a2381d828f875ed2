import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { useApp } from '../../app-context.ts';
import { UnrolledStrip } from '../../charts/unrolled-strip.tsx';
import { format, text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { jointUrl } from '../joints/joint-routes.ts';
import { usePeople } from '../verify/use-people.ts';
import { BesideJoints } from './beside-joints.tsx';
import { IndicationList } from './indication-list.tsx';
import { NoteList } from './note-list.tsx';
import { PassInspector } from './pass-inspector.tsx';
import { windowAt } from './place-map.ts';
import { type ReviewRoute, reviewUrl } from './review-route.ts';

/** One joint along its weld: where everything lies, each pass in detail, what NDT called and what people found. */
export function ReviewView({ route }: { readonly route: ReviewRoute }) {
  const { api, changes } = useApp();
  const t = text.value.review;
  const people = usePeople();
  const { joint } = route;
  const version = changes.joints.value;
  const { value: review, failure } = useRead(`review ${joint} ${version}`, () =>
    api.get<JointReview>(['joints', joint, 'review']),
  );
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
  const { fixed } = format();
  const { procedure, outsideDiameterMm, wallThicknessMm, passes } = review;
  const picked = passes.find(({ message }) => message.passId === route.pass) ?? firstAskedAbout(review);
  const wps = procedure === null ? t.noWps : `${procedure.id} rev. ${procedure.revision}`;
  return (
    <>
      <p>{t.facts(wps, fixed(outsideDiameterMm, 0), fixed(wallThicknessMm, 1))}</p>
      <p class="hint">
        {t.notAcceptance} {t.positions}
      </p>
      <h2>{t.stripTitle}</h2>
      {passes.length === 0 ? (
        <p>{t.noPasses}</p>
      ) : (
        <UnrolledStrip
          review={review}
          picked={picked?.message.passId ?? null}
          urlOf={pass =>
            reviewUrl({ ...route, pass: pass.message.passId, fromMm: null, toMm: null, cursorMm: null })
          }
          cursor={cursorShare(picked, route.cursorMm)}
        />
      )}
      <IndicationList review={review} route={route} people={people} />
      {picked !== null && (
        <>
          <PassInspector
            key={picked.message.passId}
            review={review}
            pass={picked}
            route={{ ...route, pass: picked.message.passId }}
          />
          <BesideJoints review={review} pass={picked} route={{ ...route, pass: picked.message.passId }} />
        </>
      )}
      <NoteList review={review} pass={picked} route={route} people={people} />
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
  const clock = windowAt(pass.windows, cursorMm)?.fromClock ?? null;
  return clock === null ? null : (clock % 12) / 12;
}
