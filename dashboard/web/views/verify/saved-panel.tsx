import { useEffect, useRef, useState } from 'preact/hooks';
import { CHECK_NAMES } from '#core/journal/check-rules';
import type { Entry } from '#core/journal/entry';
import type { CheckName } from '#core/journal/rig-entries';
import { whenText } from '../../parts/when-text.ts';
import { format, text } from '../../text/text.ts';
import { CorrectionPanel } from './correction-panel.tsx';
import { outcomeText } from './result-texts.ts';
import type { RunResult } from './timed-run-form.ts';
import type { People } from './use-people.ts';
import { verifyUrl } from './verify-route.ts';

export interface SavedCheck {
  readonly entry: Entry;
  /** Of a timed run only. */
  readonly run: RunResult | null;
}

interface SavedPanelProps {
  readonly site: string;
  readonly rig: string;
  readonly check: CheckName;
  readonly saved: SavedCheck;
  readonly previous: number | null;
  readonly people: People;
  readonly restart: (start: { state: 'asFound' | 'asLeft'; targetS: string | null }) => void;
}

/** What was saved, and what is next: the next check, a longer run, as left, or a correction. */
export function SavedPanel({ site, rig, check, saved, previous, people, restart }: SavedPanelProps) {
  const t = text.value.verify;
  const [correcting, setCorrecting] = useState(false);
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  const { entry, run } = saved;
  if (entry.body.kind !== 'verification') return null;
  const { outcome, validUntil } = entry.body;
  const next = CHECK_NAMES[CHECK_NAMES.indexOf(check) + 1] ?? null;
  const proposed = run?.shown.proposedRunS ?? null;
  const longer = proposed === null ? null : format().fixed(proposed, 0);
  return (
    <section class="saved">
      <h2 ref={title} tabIndex={-1}>
        {t.saved.title}
      </h2>
      <p class="summary" data-result={outcome.result}>
        {t.saved.line(t.names[check], outcomeText(outcome), people.nameOf(entry.author))}{' '}
        {validUntil !== null && t.saved.until(whenText(validUntil))}
        {outcome.result !== 'pass' && t.saved.notReady}
      </p>
      <div class="form-actions">
        {longer !== null && (
          <button
            class="primary"
            type="button"
            onClick={() => restart({ state: outcome.state, targetS: longer })}
          >
            {t.saved.longer(longer)}
          </button>
        )}
        {outcome.result === 'fail' && (
          <button class="primary" type="button" onClick={() => restart({ state: 'asLeft', targetS: null })}>
            {t.saved.again}
          </button>
        )}
        {outcome.result === 'fail' && run !== null && !correcting && (
          <button type="button" onClick={() => setCorrecting(true)}>
            {t.saved.correct}
          </button>
        )}
        {outcome.result === 'notShown' && longer === null && (
          <button type="button" onClick={() => restart({ state: outcome.state, targetS: null })}>
            {t.saved.repeat}
          </button>
        )}
        {next !== null && (
          <a
            class={outcome.result === 'pass' ? 'button primary' : 'button'}
            href={verifyUrl({ site, rig, check: next })}
          >
            {t.saved.next(t.names[next])}
          </a>
        )}
        <a class="button" href={verifyUrl({ site, rig, check: null })}>
          {t.toList}
        </a>
      </div>
      {correcting && run !== null && (check === 'travel' || check === 'wireFeed') && (
        <CorrectionPanel
          site={site}
          rig={rig}
          check={check}
          result={run}
          previous={previous}
          author={entry.author}
          people={people}
          onDone={() => setCorrecting(false)}
        />
      )}
    </section>
  );
}
