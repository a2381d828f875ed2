import type { Score } from '#core/training/session';
import { said } from '../../text/said.ts';
import { format, text } from '../../text/text.ts';

interface ScoreCountsProps {
  readonly score: Score;
  readonly truthGap: string | null;
}

/** Counts first; sensitivity only where there is enough to count, and with its interval. */
export function ScoreCounts({ score, truthGap }: ScoreCountsProps) {
  const t = text.value.training.debrief;
  const { counts, notScored, sensitivity, sensitivityReason } = score;
  const { fixed } = format();
  if (notScored !== null || counts === null) {
    return (
      <section aria-label={t.countsTitle}>
        <h2>{t.countsTitle}</h2>
        <p class="message nodata">{t.notScored(said(notScored ?? ''))}</p>
        {truthGap !== null && truthGap !== notScored && <p>{t.gap(said(truthGap))}</p>}
      </section>
    );
  }
  const answered = counts.hit + counts.late;
  const shown: readonly (readonly [keyof typeof t.counts, string])[] = [
    ['hit', t.outOf(counts.hit, counts.signals)],
    ['late', t.outOf(counts.late, counts.signals)],
    ['miss', t.outOf(counts.miss, counts.signals)],
    ['falseAlarm', String(counts.falseAlarm)],
    ['wrongSide', String(counts.wrongSide)],
    ['leftAlone', t.outOf(counts.leftAlone, counts.decoys)],
    ['rightChannel', t.outOf(counts.rightChannel, answered)],
    ['rightAction', t.outOf(counts.rightAction, answered)],
  ];
  return (
    <>
      <section aria-label={t.countsTitle}>
        <h2>{t.countsTitle}</h2>
        <dl class="score-counts">
          {shown.map(([name, value]) => (
            <div key={name} data-count={name}>
              <dt>{t.counts[name]}</dt>
              <dd>{value}</dd>
            </div>
          ))}
        </dl>
        {truthGap !== null && <p>{t.gap(said(truthGap))}</p>}
      </section>
      <section class="sensitivity" aria-label={t.sensitivityTitle}>
        <h2>{t.sensitivityTitle}</h2>
        {sensitivity === null ? (
          <p>{t.noDPrime(said(sensitivityReason ?? ''))}</p>
        ) : (
          <>
            <p>
              <strong>
                {t.dPrime(
                  fixed(sensitivity.dPrime, 1),
                  fixed(sensitivity.low, 1),
                  fixed(sensitivity.high, 1),
                )}
              </strong>
            </p>
            <p>
              {t.basis(sensitivity.hits, sensitivity.signals, sensitivity.falseAlarms, sensitivity.noises)}{' '}
              {t.criterion(fixed(sensitivity.criterion, 1))}
            </p>
            <p class="hint">{t.dPrimeNote}</p>
          </>
        )}
      </section>
    </>
  );
}
