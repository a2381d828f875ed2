import { convert } from '#core/units/ucum';
import { format, text } from '../../text/text.ts';
import { ResultPanel } from './result-panel.tsx';
import { errorText, limitText, speedText, withUnit } from './result-texts.ts';
import type { RigFacts, RunResult, TimedRunForm } from './timed-run-form.ts';

interface RunResultPanelProps {
  readonly result: RunResult;
  readonly form: TimedRunForm;
  readonly facts: RigFacts;
  /** Sets the timer for a run that would decide it. */
  readonly runLonger: (seconds: string) => void;
}

/** The word of a timed run: `not shown` says what decides it. */
export function runWord({ shown }: RunResult): string {
  const t = text.value.verify.result;
  if (shown.result !== 'notShown') return t[shown.result];
  return shown.proposedRunS === null ? t.notShown : t.notShownLonger;
}

/** What a timed run shows of the rig's reading, and by what arithmetic. */
export function RunResultPanel({ result, form, facts, runLonger }: RunResultPanelProps) {
  const v = text.value.verify;
  const t = v.result;
  const { check, shown, edge } = result;
  const speed = (mmPerS: number): string => speedText(mmPerS, form.shownUnit);
  const percent = (value: number): string => format().fixed(value, 1);
  const lengthCode = form.lengthUnit === 'mm' ? 'mm' : '[in_i]';
  const length = convert(check.measuredMm, 'mm', lengthCode);
  const times = 60 / check.runS;
  const factor = facts.correctionFactor;
  const proposed = shown.proposedRunS === null ? null : format().fixed(shown.proposedRunS, 0);
  const nominal = facts.procedureMmPerS;
  const against = shown.againstProcedure;
  const radius = (mm: number): string => format().fixed(mm, 1);
  const radii =
    check.check === 'travel' && check.tapeRadiusMm !== undefined && check.referenceRadiusMm !== undefined
      ? [t.radii(radius(check.referenceRadiusMm), radius(check.tapeRadiusMm))]
      : [];
  const rows: (readonly [string, string])[] = [
    [
      t.rows.measured,
      [
        t.perMinute(
          withUnit(length, lengthCode),
          format().fixed(times, 2),
          withUnit(length * times, `${lengthCode}/min`),
        ),
        ...radii,
        speed(shown.measuredMmPerS),
      ].join('; '),
    ],
    factor === null
      ? [t.rows.shown, speed(check.shownMmPerS)]
      : [
          t.rows.shownCorrected,
          `${speed(check.shownMmPerS)} × ${format().fixed(factor, 4)} = ${speed(check.shownMmPerS * factor)}`,
        ],
    [t.rows.error, errorText(check.errorPercent)],
    [t.rows.uncertainty, t.uncertainty(percent(check.expandedUncertaintyPercent))],
    [t.rows.limit, limitText(check.limitPercent)],
    ...(edge === null || check.edgeMmPerS === null
      ? []
      : [
          [t.rows.edge, speed(check.edgeMmPerS)] as const,
          [t.rows.edgeError, errorText(edge.error * 100)] as const,
        ]),
    ...(nominal === null || against === null
      ? []
      : [
          [
            t.rows.procedure,
            t.procedure(`${against < 0 ? '−' : '+'}${percent(Math.abs(against * 100))}`, speed(nominal)),
          ] as const,
        ]),
  ];
  const why =
    shown.result === 'notShown'
      ? `${t.why.notShown} ${proposed === null ? t.noRun : t.runFor(proposed)}`
      : t.why[shown.result];
  return (
    <ResultPanel
      result={shown.result}
      word={runWord(result)}
      why={why}
      rows={rows}
      bar={{
        error: check.errorPercent,
        uncertainty: check.expandedUncertaintyPercent,
        limit: check.limitPercent,
        unit: '%',
        label: t.bar(
          errorText(check.errorPercent),
          t.uncertainty(percent(check.expandedUncertaintyPercent)),
          limitText(check.limitPercent),
        ),
      }}
    >
      {edge !== null && edge.result !== shown.result && (
        <p>
          <strong>{t.edgeDiffers(t[edge.result])}</strong>
        </p>
      )}
      {shown.result === 'notShown' && proposed !== null && (
        <button type="button" onClick={() => runLonger(proposed)}>
          {v.run.proposed(proposed)}
        </button>
      )}
    </ResultPanel>
  );
}
