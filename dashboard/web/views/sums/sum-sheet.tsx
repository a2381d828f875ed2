import { useEffect, useRef, useState } from 'preact/hooks';
import type { Calculation } from '#core/calculations/calculation';
import { runCalculation } from '#core/calculations/run-calculation';
import { More } from '../../parts/more.tsx';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { AnswerPanel, HowPanel } from './answer-panel.tsx';
import { ChoiceField } from './choice-field.tsx';
import { NumberField } from './number-field.tsx';
import { firstDraft, givenOf, standsFirst, sumProblems, unitKey } from './sum-form.ts';
import {
  type InputDraft,
  readSumsMemory,
  type SumsMemory,
  withAnswer,
  withoutInputs,
  writeSumsMemory,
} from './sums-memory.ts';
import { sumsUrl } from './sums-route.ts';

/** One calculation: what to enter, and the answer below it. */
export function SumSheet({ calculation }: { readonly calculation: Calculation }) {
  const t = text.value.sums;
  const [memory, setMemory] = useState(() => readSumsMemory(localStorage));
  const [draft, setDraft] = useState(() => firstDraft(calculation, memory));
  const [keptAtMs, setKeptAtMs] = useState(memory.last[calculation.name]?.atMs ?? null);
  /** How often an answer was asked for: 0 until then nothing is said about the fields. */
  const [asked, setAsked] = useState(0);
  const answer = useRef<HTMLElement>(null);
  const form = useRef<HTMLFormElement>(null);

  const { uncertainties } = memory;
  const problems = sumProblems(calculation, draft, uncertainties);
  const run =
    asked === 0 || problems.size > 0
      ? null
      : runCalculation(calculation, givenOf(calculation, draft, uncertainties));
  const entries = Object.entries(calculation.inputs);
  const first = entries.filter(([, input]) => standsFirst(input));
  const rest = entries.filter(([, input]) => !standsFirst(input));
  const restInUse = rest.some(([key]) => draft[key]?.value !== '' || (asked > 0 && problems.has(key)));

  useEffect(() => {
    if (asked === 0) return;
    const wrong = form.current?.querySelector<HTMLElement>('[aria-invalid="true"]');
    (wrong ?? answer.current)?.focus();
  }, [asked]);

  function remember(next: SumsMemory): void {
    setMemory(next);
    writeSumsMemory(localStorage, next);
  }

  function change(key: string, part: Partial<InputDraft>): void {
    const input = calculation.inputs[key]!;
    setDraft(now => ({ ...now, [key]: { ...now[key]!, ...part } }));
    if (part.unit !== undefined && input.kind === 'number') {
      remember({ ...memory, units: { ...memory.units, [unitKey(input)]: part.unit } });
    }
  }

  const fieldOf = ([key, input]: (typeof entries)[number]) => {
    const id = `sum-${key}`;
    const shared = {
      key,
      id,
      draft: draft[key]!,
      problem: asked > 0 ? (problems.get(key) ?? null) : null,
      change: (part: Partial<InputDraft>) => change(key, part),
    };
    return input.kind === 'choice' ? (
      <ChoiceField {...shared} input={input} />
    ) : (
      <NumberField {...shared} input={input} uncertainties={uncertainties} />
    );
  };

  return (
    <section class="sheet form-sheet sums">
      <p>
        <a class="button" href={sumsUrl(null)}>
          {t.backToList}
        </a>
      </p>
      <h1>{said(calculation.title)}</h1>
      {calculation.caution !== null && (
        <p class="sum-caution">
          <strong>{t.caution}</strong> {said(calculation.caution)}
        </p>
      )}
      {keptAtMs !== null && (
        <p class="sum-kept">
          {t.lastTime(whenText(keptAtMs))}{' '}
          <button
            type="button"
            onClick={() => {
              const next = withoutInputs(memory, calculation.name);
              remember(next);
              setDraft(firstDraft(calculation, next));
              setKeptAtMs(null);
              setAsked(0);
            }}
          >
            {t.clear}
          </button>
        </p>
      )}
      <form
        ref={form}
        noValidate
        onSubmit={event => {
          event.preventDefault();
          setAsked(n => n + 1);
          if (problems.size === 0) {
            remember(withAnswer(memory, calculation.name, { atMs: Date.now(), inputs: draft }));
          }
        }}
      >
        {first.map(fieldOf)}
        {rest.length > 0 && (
          <More label={t.more} open={restInUse || run?.kind === 'invalid'}>
            {rest.map(fieldOf)}
          </More>
        )}
        <label class="pick sum-switch">
          <input
            type="checkbox"
            checked={uncertainties}
            onChange={event => remember({ ...memory, uncertainties: event.currentTarget.checked })}
          />
          <span>{t.uncertainties}</span>
        </label>
        {uncertainties && <p class="hint">{t.kindsHint}</p>}
        <div class="form-actions">
          <button class="primary sum-answer-button" type="submit">
            {t.answer}
          </button>
        </div>
        <div role="alert">
          {asked > 0 && problems.size > 0 && (
            <p class="error">
              {t.fieldsWrong(problems.size === 1 ? t.oneField : t.manyFields(String(problems.size)))}
            </p>
          )}
        </div>
      </form>
      {run !== null && <AnswerPanel calculation={calculation} run={run} heading={answer} />}
      <HowPanel calculation={calculation} />
    </section>
  );
}
