import { useState } from 'preact/hooks';
import { LOOK_AROUND_MM } from '#core/indication/covered';
import { DEPTH_SLACK_MM } from '#core/indication/layer-depth';
import type { JointReview, ReviewIndication } from '#core/messages/api-review';
import { More } from '../../parts/more.tsx';
import { oClockText } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';
import type { People } from '../verify/use-people.ts';
import { CoveredPass } from './covered-pass.tsx';
import { FindingForm } from './finding-form.tsx';
import { FindingLine } from './finding-line.tsx';
import type { ReviewRoute } from './review-route.ts';
import { ScanForm } from './scan-form.tsx';

interface IndicationListProps {
  readonly review: JointReview;
  readonly route: ReviewRoute;
  readonly people: People;
}

/** What NDT called on this joint, what was welded there, and what was found about it. */
export function IndicationList({ review, route, people }: IndicationListProps) {
  const t = text.value.review.calls;
  const [entering, setEntering] = useState(false);
  const { indications, scans, joint } = review;
  return (
    <section>
      <h2>{t.title}</h2>
      {indications.length === 0 && scans.length === 0 && <p>{t.none}</p>}
      {scans.map(({ id, body }) => (
        <p key={id}>{body.kind === 'scanReport' && t.noneIn(body.reference)}</p>
      ))}
      <ul class="indications">
        {indications.map(one => (
          <Indication
            key={`${one.scanEntryId} ${one.label}`}
            one={one}
            review={review}
            route={route}
            people={people}
          />
        ))}
      </ul>
      {review.findings.map(entry => (
        <FindingLine key={entry.id} entry={entry} nameOf={people.nameOf} />
      ))}
      {entering ? (
        <ScanForm joint={joint} people={people} done={() => setEntering(false)} />
      ) : (
        <p class="form-actions">
          <button type="button" onClick={() => setEntering(true)}>
            {t.add}
          </button>
        </p>
      )}
    </section>
  );
}

function CoveredPasses({
  covered,
  label,
  review,
  route,
}: Pick<ReviewIndication, 'covered' | 'label'> & Pick<IndicationListProps, 'review' | 'route'>) {
  return (
    <ul class="covered">
      {covered.map(one => (
        <CoveredPass key={one.passId} review={review} covered={one} label={label} route={route} />
      ))}
    </ul>
  );
}

interface IndicationProps extends IndicationListProps {
  readonly one: ReviewIndication;
}

function Indication({ one, review, route, people }: IndicationProps) {
  const t = text.value;
  const r = t.review.calls;
  const { fixed, measure } = format();
  const [entering, setEntering] = useState(false);
  const { label, type, place, lengthMm, depthMm, heightMm, frame, technique, reference, covered, findings } =
    one;
  const atDepth = covered.filter(one => one.atDepth);
  const others = covered.filter(one => !one.atDepth);
  const sense = frame.sense === 'clockwise' ? r.clockwise : r.counterClockwise;
  const diameter =
    frame.referenceDiameterMm === null
      ? r.outside
      : r.diameterOf(measure('length', frame.referenceDiameterMm));
  return (
    <li class="indication">
      <h3>
        <bdi>{r.head(label, type)}</bdi>{' '}
        <span class="hint">
          <bdi>{`${technique}, ${reference}`}</bdi>
        </span>
      </h3>
      <p>
        {place === null
          ? r.noPlace
          : r.place(
              oClockText(place.fromClock),
              oClockText(place.toClock),
              measure('length', place.fromMm),
              measure('length', place.uncertaintyMm),
            )}
        {', '}
        {r.size(
          measure('length', lengthMm),
          depthMm === null
            ? r.noDepth
            : r.depth(
                measure('size', depthMm),
                heightMm === null ? '' : measure('size', heightMm),
                measure('size', DEPTH_SLACK_MM),
              ),
        )}{' '}
        <span class="hint">{r.counted(fixed(frame.zeroDegrees, 0), sense, diameter)}</span>
      </p>
      <h4>{r.covered}</h4>
      <p class="hint">{r.coveredNote(measure('length', LOOK_AROUND_MM))}</p>
      {covered.length === 0 && <p>{r.coveredNone}</p>}
      <CoveredPasses covered={atDepth} label={label} review={review} route={route} />
      {others.length > 0 && (
        <More label={r.othersThere(others.length)} open={false} class="covered-others">
          <CoveredPasses covered={others} label={label} review={review} route={route} />
        </More>
      )}
      <h4>{r.findings}</h4>
      {findings.length === 0 && <p>{r.noFinding}</p>}
      {findings.map(entry => (
        <FindingLine key={entry.id} entry={entry} nameOf={people.nameOf} />
      ))}
      {entering ? (
        <FindingForm joint={review.joint} indication={one} people={people} done={() => setEntering(false)} />
      ) : (
        <button type="button" onClick={() => setEntering(true)}>
          {t.review.finding.add}
          <span class="sr-only"> {label}</span>
        </button>
      )}
    </li>
  );
}
