import { useEffect, useRef, useState } from 'preact/hooks';
import type { Entry } from '#core/journal/entry';
import { useApp } from '../../app-context.ts';
import { localSeconds, wallMoment } from '../../parts/local-date-time.ts';
import { whenText } from '../../parts/when-text.ts';
import { format, text } from '../../text/text.ts';
import { numberText, typedNumber } from '../../text/typed-number.ts';
import { correctionEntry, FACTOR_RANGE, proposedShiftDate } from './check-entry.ts';
import { TypedField } from './fields.tsx';
import { errorText, speedText } from './result-texts.ts';
import { failureText } from './save-block.tsx';
import type { RunCheck, RunResult } from './timed-run-form.ts';
import type { People } from './use-people.ts';
import { isNamed, type Who, WhoField } from './who-field.tsx';

interface CorrectionPanelProps {
  readonly site: string;
  readonly rig: string;
  readonly check: RunCheck;
  readonly result: RunResult;
  readonly previous: number | null;
  readonly author: string;
  readonly people: People;
  readonly onDone: () => void;
}

const CHANNEL = { travel: 'travelSpeed', wireFeed: 'wireFeedSpeed' } as const;

/** A factor for a channel that reads wrong: decided by a named person, from a stated moment, old and new shown. */
export function CorrectionPanel(props: CorrectionPanelProps) {
  const { site, rig, check, result, previous, author, people, onDone } = props;
  const { api } = useApp();
  const t = text.value.verify;
  const proposed = Number(result.newFactor.toFixed(4));
  const [factor, setFactor] = useState(numberText(proposed));
  const [from, setFrom] = useState(() => localSeconds(Date.now()));
  const [reason, setReason] = useState(
    t.factor.reasonText(t.names[check], errorText(result.check.errorPercent)),
  );
  const [who, setWho] = useState<Who>({ who: author, newName: '' });
  const [tries, setTries] = useState(0);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const [saved, setSaved] = useState<Entry | null>(null);
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), []);
  useEffect(() => {
    if (tries > 0) document.querySelector<HTMLElement>('.correction [aria-invalid="true"]')?.focus();
  }, [tries]);

  const typed = typedNumber(factor);
  const fitting = typed !== null && typed >= FACTOR_RANGE.min && typed <= FACTOR_RANGE.max ? typed : null;
  const fromMs = wallMoment(from);
  const wrong = {
    factor: fitting === null,
    from: fromMs === null,
    reason: reason.trim() === '',
    who: !isNamed(who, people.all),
  };
  const error = (field: keyof typeof wrong): string | null =>
    tries > 0 && wrong[field] ? t.missing[field] : null;
  const four = (value: number): string => format().fixed(value, 4);
  const old = previous === null ? t.factor.none : four(previous);

  async function save(): Promise<void> {
    setTries(n => n + 1);
    setFailure(null);
    if (fitting === null || fromMs === null || Object.values(wrong).some(Boolean)) return;
    setBusy(true);
    try {
      const by = await people.idOf(who);
      setWho({ who: by, newName: '' });
      const frame = { site, rig, author: by, shiftDate: proposedShiftDate(new Date()) };
      const input = { channel: CHANNEL[check], factor: fitting, previous: previous ?? 1, fromMs, reason };
      setSaved(await api.addEntry(correctionEntry(frame, input)));
    } catch (caught) {
      setFailure(failureText(caught));
    } finally {
      setBusy(false);
    }
  }

  if (saved?.body.kind === 'correction') {
    const { body } = saved;
    return (
      <p class="summary" role="status">
        {t.factor.saved(four(body.factor), whenText(body.from), people.nameOf(saved.author))}
      </p>
    );
  }
  if (proposed < FACTOR_RANGE.min || proposed > FACTOR_RANGE.max) {
    return <p class="message out">{t.factor.outside}</p>;
  }
  const { edgeMmPerS, shownMmPerS, measuredMmPerS } = result.check;
  const basis = edgeMmPerS === null ? t.factor.basisShown : t.factor.basisEdge;
  return (
    <section class="correction">
      <h2 ref={title} tabIndex={-1}>
        {t.factor.title}
      </h2>
      <p>{t.factor.note}</p>
      <dl class="result-rows">
        <div>
          <dt>{t.factor.old}</dt>
          <dd>{old}</dd>
        </div>
        <div>
          <dt>{t.factor.new}</dt>
          <dd>
            {four(proposed)} ={' '}
            {basis(speedText(measuredMmPerS, 'mm/s'), speedText(edgeMmPerS ?? shownMmPerS, 'mm/s'))}
          </dd>
        </div>
      </dl>
      <div class="field-pair">
        <TypedField
          id="factor"
          label={t.factor.value}
          value={factor}
          error={error('factor')}
          type={setFactor}
        />
        <TypedField
          id="from"
          label={t.factor.from}
          hint={t.factor.fromHint(format().zone)}
          value={from}
          kind="datetime-local"
          error={error('from')}
          type={setFrom}
        />
      </div>
      <TypedField
        id="reason"
        label={t.factor.reason}
        value={reason}
        kind="text"
        max={500}
        error={error('reason')}
        type={setReason}
      />
      <WhoField
        id="factor-who"
        label={t.factor.who}
        value={who}
        people={people.all}
        error={error('who')}
        change={part => setWho(now => ({ ...now, ...part }))}
      />
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <div class="form-actions">
        <button class="primary" type="button" disabled={busy} onClick={() => void save()}>
          {busy ? t.saving : t.factor.submit(old, fitting === null ? '–' : four(fitting))}
        </button>
        <button type="button" disabled={busy} onClick={onDone}>
          {t.factor.cancel}
        </button>
      </div>
    </section>
  );
}
