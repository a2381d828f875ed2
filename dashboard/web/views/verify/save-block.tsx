import { useEffect, useState } from 'preact/hooks';
import type { Entry } from '#core/journal/entry';
import type { Check } from '#core/journal/rig-entries';
import { useApp } from '../../app-context.ts';
import { failureSentence } from '../../data/api-client.ts';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';
import { typedNumber } from '../../text/typed-number.ts';
import { checkEntry, proposedShiftDate } from './check-entry.ts';
import { TypedField } from './fields.tsx';
import type { People } from './use-people.ts';
import { isNamed, type Who, WhoField } from './who-field.tsx';

interface SaveBlockProps {
  readonly site: string;
  readonly rig: string;
  /** Null while something is missing. */
  readonly outcome: Check | null;
  readonly word: string;
  readonly validHours: string;
  readonly people: People;
  /** The person pressed save: what is missing is to be named now. */
  readonly onTry: () => void;
  readonly onSaved: (entry: Entry) => void;
}

/** What a failed request says to a person. */
export function failureText(error: unknown): string {
  const t = text.value.verify;
  return t.failed(failureSentence(error, t.noServer));
}

/** By whom, for which shift, and the button that makes it an entry. */
export function SaveBlock(props: SaveBlockProps) {
  const { site, rig, outcome, word, validHours, people, onTry, onSaved } = props;
  const { api, readiness } = useApp();
  const t = text.value.verify;
  const [who, setWho] = useState<Who>({ who: people.lastWho, newName: '' });
  const [shiftDate, setShiftDate] = useState(() => proposedShiftDate(new Date()));
  const [tries, setTries] = useState(0);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const named = isNamed(who, people.all);
  const dated = /^\d{4}-\d{2}-\d{2}$/.test(shiftDate);

  useEffect(() => {
    if (tries > 0) document.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [tries]);

  async function save(): Promise<void> {
    setTries(n => n + 1);
    setFailure(null);
    onTry();
    if (outcome === null || !named || !dated) return;
    setBusy(true);
    try {
      const author = await people.idOf(who);
      setWho({ who: author, newName: '' });
      const frame = { site, rig, author, shiftDate };
      const entry = await api.addEntry(checkEntry(frame, outcome, validHours, Date.now()));
      void readiness.refresh();
      onSaved(entry);
    } catch (error) {
      setFailure(failureText(error));
    } finally {
      setBusy(false);
    }
  }

  const hours = typedNumber(validHours) ?? 0;
  return (
    <>
      <WhoField
        id="who"
        label={t.who}
        value={who}
        people={people.all}
        error={tries > 0 && !named ? t.missing.who : null}
        change={part => setWho(now => ({ ...now, ...part }))}
      />
      <TypedField
        id="shift-date"
        label={t.shiftDate}
        hint={t.shiftDateHint}
        value={shiftDate}
        kind="date"
        error={tries > 0 && !dated ? t.missing.shiftDate : null}
        type={setShiftDate}
      />
      {outcome !== null && (
        <p class="summary">
          {outcome.result === 'pass'
            ? t.summary(word, whenText(Date.now() + hours * 3_600_000))
            : t.summaryNot(word)}
        </p>
      )}
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <div class="form-actions">
        <button class="primary save" type="button" disabled={busy} onClick={() => void save()}>
          {busy ? t.saving : t.save}
        </button>
      </div>
    </>
  );
}
