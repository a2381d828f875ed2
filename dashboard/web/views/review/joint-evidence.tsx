import type { JointReview } from '#core/messages/api-review';
import { More } from '../../parts/more.tsx';
import { whenText } from '../../parts/when-text.ts';
import { oClockText } from '../../text/format.ts';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { StandingDisposition } from '../joints/disposition/standing-disposition.tsx';
import { dispositionUrl } from '../joints/joint-routes.ts';
import { standingEntries } from '../joints/pass-work.ts';
import { shownTemperatureUnit, temperatureText, UNIT_WORD } from '../joints/temperature-unit.ts';

interface JointSummaryProps {
  readonly review: JointReview;
  readonly nameOf: (id: string) => string;
}

/** What was measured and proven beside the passes: temperatures, verification of the rigs, what is missing. */
export function JointEvidence({ review, nameOf }: JointSummaryProps) {
  const t = text.value;
  const r = t.review.evidence;
  const { state, verifications } = review;
  const unit = shownTemperatureUnit();
  const readings = standingEntries(state.entries).flatMap(({ id, author, body }) =>
    body.kind === 'temperatureReading' ? [{ id, author, body }] : [],
  );
  return (
    <More label={r.title(readings.length, state.findings.length)} open={false}>
      <h3>{r.temperatures}</h3>
      {readings.length === 0 && <p>{t.joints.noReadings}</p>}
      <ul>
        {readings.map(({ id, author, body }) => (
          <li key={id}>
            <bdi>
              {r.reading(
                t.jointEntries.quantity[body.quantity],
                `${temperatureText(body.valueCel, unit)} ${UNIT_WORD[unit]}`,
                body.pass,
                body.clock === null ? '' : oClockText(body.clock),
                whenText(body.takenAt),
                nameOf(author),
              )}
            </bdi>
          </li>
        ))}
      </ul>
      <h3>{r.verifications}</h3>
      <ul>
        {verifications.map(({ site, rig, atUtc, ready, findings }) => (
          <li key={`${site}/${rig}`}>
            {r.verified(`${site}/${rig}`, whenText(atUtc), ready)} <bdi>{findings.map(said).join(' ')}</bdi>
          </li>
        ))}
      </ul>
      <h3>{r.missing}</h3>
      {state.findings.length === 0 && <p>{t.joints.nothingMissing}</p>}
      <ul>
        {state.findings.map(finding => (
          <li key={`${finding.code} ${finding.text}`}>
            <bdi>{said(finding.text)}</bdi>
          </li>
        ))}
      </ul>
    </More>
  );
}

/** How the joint stands by a person's ruling; nothing is proposed. */
export function ReviewDisposition({ review, nameOf }: JointSummaryProps) {
  const t = text.value.dispositions;
  const { disposition } = review.state;
  return (
    <section>
      <h2>{t.title}</h2>
      {disposition === null ? (
        <p class="joint-sum">{t.none}</p>
      ) : (
        <StandingDisposition disposition={disposition} nameOf={nameOf} />
      )}
      <p class="form-actions">
        <a class="button" href={dispositionUrl(review.joint)}>
          {t.open}
        </a>
      </p>
    </section>
  );
}
