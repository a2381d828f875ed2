import type { ComponentChildren } from 'preact';
import type { VerificationResult } from '#core/checks/verification';
import { text } from '../../text/text.ts';
import { ErrorBar } from './error-bar.tsx';

interface ResultPanelProps {
  readonly result: VerificationResult;
  /** The word for `notShown`, which depends on what would decide it. */
  readonly word: string;
  readonly why: string;
  readonly rows: readonly (readonly [term: string, value: string])[];
  readonly bar: Parameters<typeof ErrorBar>[0];
  readonly children?: ComponentChildren;
}

/** Shape and word first; colour only adds. Nothing here is ever green. */
const MARKS: Record<VerificationResult, string> = { pass: '✓', fail: '◆', notShown: '?' };

export function ResultPanel({ result, word, why, rows, bar, children }: ResultPanelProps) {
  const t = text.value.verify.result;
  return (
    <section class="result" data-result={result} aria-label={t.title}>
      <p class="result-word" role="status">
        <span class="result-mark" aria-hidden="true">
          {MARKS[result]}
        </span>{' '}
        {word}
      </p>
      <p class="result-why">{why}</p>
      <ErrorBar {...bar} />
      <dl class="result-rows">
        {rows.map(([term, value]) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      {children}
    </section>
  );
}
