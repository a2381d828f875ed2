import type { Ref } from 'preact';
import { rangeText, unitTail } from '#core/calculations/answer';
import type { Calculation } from '#core/calculations/calculation';
import type { ResolvedInput } from '#core/calculations/resolve-input';
import type { CalculationRun, ShownResult } from '#core/calculations/run-calculation';
import { text } from '../../text/text.ts';
import { plainNumber, shownWithUncertainty } from './shown-number.ts';
import { withLabels } from './sum-form.ts';

interface AnswerPanelProps {
  readonly calculation: Calculation;
  readonly run: CalculationRun;
  readonly heading: Ref<HTMLElement>;
}

const quantity = (value: number, unit: string): string => `${plainNumber(value)}${unitTail(unit)}`;

/** The answer with its uncertainty, or why there is none; never a number outside the range of the formula. */
export function AnswerPanel({ calculation, run, heading }: AnswerPanelProps) {
  const t = text.value.sums;
  return (
    <section class="sum-answer" data-answer={run.kind} ref={heading} tabIndex={-1} aria-label={t.result}>
      <h2>{t.result}</h2>
      {run.kind === 'value' && (
        <>
          <dl class="sum-results">
            {run.results.map(result => (
              <Result key={result.key} result={result} />
            ))}
          </dl>
          {run.results.some(result => result.expandedUncertainty !== null) ? (
            <p class="hint">{t.coverage}</p>
          ) : (
            run.inputs.every(input => input.standardUncertainty === null) && (
              <p class="hint">{t.noUncertainty}</p>
            )
          )}
        </>
      )}
      {run.kind === 'outOfRange' && (
        <div class="message out">
          <p>
            <strong>{t.outOfRange}</strong>
          </p>
          <p>{withLabels(run.text, calculation)}.</p>
          <p>{t.outOfRangeHolds(run.name, rangeText(run.range, run.unit))}</p>
        </div>
      )}
      {run.kind === 'invalid' && (
        <div class="message out">
          <p>
            <strong>{t.cannot}</strong>
          </p>
          {run.problems.map(problem => (
            <p key={problem}>{withLabels(problem, calculation)}.</p>
          ))}
        </div>
      )}
      {run.kind !== 'invalid' && (
        <>
          <h3>{t.usedInputs}</h3>
          <dl class="sum-used">
            {run.inputs.map(input => (
              <div key={input.key}>
                <dt>{input.label}</dt>
                <dd>{usedText(input)}</dd>
              </div>
            ))}
          </dl>
        </>
      )}
    </section>
  );
}

function Result({ result }: { readonly result: ShownResult }) {
  const t = text.value.sums;
  const { label, value, unit, also, expandedUncertainty } = result;
  if (value === null || typeof value === 'string') {
    return (
      <div>
        <dt>{label}</dt>
        <dd data-word="yes">{value ?? t.unknownValue}</dd>
      </div>
    );
  }
  const shown = shownWithUncertainty(value, expandedUncertainty);
  return (
    <div>
      <dt>{label}</dt>
      <dd>
        <strong>{shown.value}</strong>
        {shown.uncertainty !== null && <span class="sum-pm"> ± {shown.uncertainty}</span>}
        {unit === null ? '' : unitTail(unit)}
        {also.map(other => (
          <span key={other.unit} class="sum-also">
            {t.same(quantity(other.value, other.unit))}
          </span>
        ))}
      </dd>
    </div>
  );
}

function usedText(input: ResolvedInput): string {
  const t = text.value.sums;
  const { value, unit, given, isDefault, standardUncertainty } = input;
  if (value === null) return t.notGiven;
  const parts = [
    typeof value === 'string' || unit === null
      ? String(value)
      : given === null
        ? quantity(value, unit)
        : `${quantity(given.value, given.unit)} ${t.same(quantity(value, unit))}`,
    ...(standardUncertainty === null || unit === null
      ? []
      : [t.standardUncertainty(quantity(standardUncertainty, unit))]),
    ...(isDefault ? [t.byDefault] : []),
  ];
  return parts.join(', ');
}

/** Formula, source, validity and proof: there before anything is entered. */
export function HowPanel({ calculation }: { readonly calculation: Calculation }) {
  const t = text.value.sums;
  return (
    <section class="sum-how">
      <h2>{t.how}</h2>
      <dl>
        <dt>{t.formula}</dt>
        <dd class="sum-formula">{calculation.formula}</dd>
        <dt>{t.source}</dt>
        <dd>{calculation.source}</dd>
        <dt>{t.validity}</dt>
        <dd>{calculation.validity}</dd>
        <dt>{t.provenBy}</dt>
        <dd>{calculation.provenBy}</dd>
      </dl>
      <p class="hint">{t.notAcceptance}</p>
    </section>
  );
}
