import type { Ref } from 'preact';
import { unitTail } from '#core/calculations/answer';
import type { Calculation } from '#core/calculations/calculation';
import type { ResolvedInput } from '#core/calculations/resolve-input';
import type { CalculationRun, ShownResult } from '#core/calculations/run-calculation';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { plainNumber, shownUncertainty, shownWithUncertainty } from './shown-number.ts';
import { withLabels } from './sum-form.ts';

interface AnswerPanelProps {
  readonly calculation: Calculation;
  readonly run: CalculationRun;
  readonly heading: Ref<HTMLElement>;
}

const TYPED_DIGITS = 12;

const quantity = (value: number, unit: string): string => `${plainNumber(value)}${unitTail(unit)}`;

/** What was entered is shown with every digit it was entered with. */
const asTyped = (value: number, unit: string): string =>
  `${plainNumber(value, TYPED_DIGITS)}${unitTail(unit)}`;

/** The answer with its uncertainty, or why there is none; never a number outside the range of the formula. */
export function AnswerPanel({ calculation, run, heading }: AnswerPanelProps) {
  const t = text.value.sums;
  return (
    <section class="sum-answer" data-answer={run.kind} ref={heading} tabIndex={-1} aria-label={t.result}>
      <h2>{t.result}</h2>
      {run.kind === 'value' && (
        <>
          <dl class="sum-results">
            {ordered(run.results).map(result => (
              <Result key={result.key} result={result} />
            ))}
          </dl>
          {run.results.some(result => result.expandedUncertainty !== null) ? (
            <p class="hint">{t.coverage}</p>
          ) : (
            run.inputs.every(input => input.standardUncertainty === null) &&
            !run.results.some(isUncertainty) && <p class="hint">{t.noUncertainty}</p>
          )}
        </>
      )}
      {run.kind === 'outOfRange' && (
        <div class="message out">
          <p>
            <strong>{t.outOfRange}</strong>
          </p>
          <p>{said(withLabels(run.text, calculation))}.</p>
        </div>
      )}
      {run.kind === 'invalid' && (
        <div class="message out">
          <p>
            <strong>{t.cannot}</strong>
          </p>
          {run.problems.map(problem => (
            <p key={problem}>{said(withLabels(problem, calculation))}.</p>
          ))}
        </div>
      )}
      {run.kind !== 'invalid' && (
        <>
          <h3>{t.usedInputs}</h3>
          <dl class="sum-used">
            {run.inputs.map(input => (
              <div key={input.key}>
                <dt>{said(input.label)}</dt>
                <dd>{usedText(input)}</dd>
              </div>
            ))}
          </dl>
        </>
      )}
    </section>
  );
}

/** Some calculations work out their own uncertainty. */
const isUncertainty = ({ key }: ShownResult): boolean => key === 'uncertainty';

/** Whether a check is passed is what it was asked for: first. */
const ordered = (results: readonly ShownResult[]): readonly ShownResult[] =>
  results.toSorted((a, b) => Number(b.key === 'result') - Number(a.key === 'result'));

function Result({ result }: { readonly result: ShownResult }) {
  const t = text.value.sums;
  const { label, value, unit, also, expandedUncertainty } = result;
  if (value === null || typeof value === 'string') {
    return (
      <div>
        <dt>{said(label)}</dt>
        <dd data-word={value === null ? 'none' : 'yes'}>
          {value === null ? t.unknownValue : said(String(value))}
        </dd>
      </div>
    );
  }
  const shown = isUncertainty(result)
    ? { value: shownUncertainty(value), uncertainty: null }
    : shownWithUncertainty(value, expandedUncertainty);
  return (
    <div>
      <dt>{said(label)}</dt>
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
      ? said(String(value))
      : given === null
        ? asTyped(value, unit)
        : `${asTyped(given.value, given.unit)} ${t.same(quantity(value, unit))}`,
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
        <dd class="sum-formula" lang="en">
          {calculation.formula}
        </dd>
        <dt>{t.source}</dt>
        <dd lang="en">{calculation.source}</dd>
        <dt>{t.validity}</dt>
        <dd>{said(calculation.validity)}</dd>
        <dt>{t.provenBy}</dt>
        <dd>{said(calculation.provenBy)}</dd>
      </dl>
      <p class="hint">{t.notAcceptance}</p>
    </section>
  );
}
