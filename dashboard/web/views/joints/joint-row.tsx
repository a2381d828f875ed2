import type { JointSummary } from '#core/messages/api-journal';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { reviewUrl, wholeReview } from '../review/review-route.ts';
import { jointUrl } from './joint-routes.ts';

/** One joint of the list: where it stands, and what is missing, in words. */
export function JointRow({ summary }: { readonly summary: JointSummary }) {
  const t = text.value;
  const j = t.joints;
  const { joint, deviations, disposition, missing, findings } = summary;
  const [first] = missing;
  const facts = [
    summary.wanted > 0
      ? j.passesDone(String(summary.done), String(summary.wanted))
      : summary.passes > 0 && j.passesSeen(summary.passes),
    summary.nextPass !== null && j.next(summary.nextPass),
    summary.complete === true && j.allDone,
    summary.repairs > 0 && j.repairs(summary.repairs),
    deviations !== null && (deviations === 0 ? j.noDeviation : j.deviations(deviations)),
    !summary.opened && j.notOpened,
    summary.station,
    summary.rigs.join(', '),
    summary.lastUtc !== null && j.last(whenText(summary.lastUtc)),
  ].filter(fact => typeof fact === 'string' && fact !== '');
  return (
    <li class="joint-row">
      <a href={jointUrl(joint)}>
        <bdi class="joint-number">{joint}</bdi>
      </a>{' '}
      {summary.onHold && <strong class="hold-mark">{j.onHold}</strong>}{' '}
      {disposition !== null && <strong class="ruled-mark">{t.dispositions.decisions[disposition]}</strong>}{' '}
      {summary.origin !== 'real' && <strong class="origin-mark">{t.origin[summary.origin]}</strong>}
      <p>
        <bdi>{facts.join(' · ')}</bdi>
      </p>
      {findings > 0 && (
        <p class="row-missing">
          <strong>{j.missingThings(findings)}</strong>
          {first !== undefined && (
            <>
              : <bdi>{said(first)}</bdi> {missing.length > 1 && j.andMore(missing.length - 1)}
            </>
          )}
        </p>
      )}
      {summary.passes > 0 && (
        <a class="button" href={reviewUrl(wholeReview(joint))}>
          {t.review.rowLink}
          <span class="sr-only"> {joint}</span>
        </a>
      )}
    </li>
  );
}
