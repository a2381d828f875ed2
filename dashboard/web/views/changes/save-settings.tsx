import { useState } from 'preact/hooks';
import type { DriftSettings } from '#core/messages/drift';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { proposedShiftDate } from '../verify/check-entry.ts';
import { TypedField } from '../verify/fields.tsx';
import type { People } from '../verify/use-people.ts';
import { isNamed, type Who, WhoField } from '../verify/who-field.tsx';
import { sentenceOf } from './use-read.ts';

interface SaveSettingsProps {
  readonly settings: DriftSettings;
  readonly people: People;
  readonly done: () => void;
}

/** Changing how changes are called is an entry with a name and a reason. */
export function SaveSettings({ settings, people, done }: SaveSettingsProps) {
  const { api } = useApp();
  const t = text.value.changes.settings;
  const [who, setWho] = useState<Who>({ who: people.lastWho, newName: '' });
  const [reason, setReason] = useState('');
  const [shiftDate, setShiftDate] = useState(() => proposedShiftDate(new Date()));
  const [tried, setTried] = useState(false);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const missing = {
    who: !isNamed(who, people.all),
    reason: reason.trim() === '',
    shiftDate: !/^\d{4}-\d\d-\d\d$/.test(shiftDate),
  };
  const error = (field: keyof typeof missing): string | null =>
    tried && missing[field] ? t.missing[field] : null;

  async function save(): Promise<void> {
    setTried(true);
    setFailure(null);
    if (missing.who || missing.reason || missing.shiftDate) return;
    setBusy(true);
    try {
      await api.addEntry({
        author: await people.idOf(who),
        shiftDate,
        reason: reason.trim(),
        corrects: null,
        body: { kind: 'watchChanged', settings },
      });
      done();
    } catch (refused) {
      setFailure(t.failed(sentenceOf(refused)));
      setBusy(false);
    }
  }

  return (
    <form
      class="form-sheet"
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void save();
      }}
    >
      <TypedField
        id="settings-reason"
        label={t.reason}
        kind="text"
        max={500}
        value={reason}
        error={error('reason')}
        type={setReason}
      />
      <WhoField
        id="settings-who"
        label={t.who}
        value={who}
        people={people.all}
        error={error('who')}
        change={part => setWho(now => ({ ...now, ...part }))}
      />
      <TypedField
        id="settings-date"
        label={t.shiftDate}
        kind="date"
        value={shiftDate}
        error={error('shiftDate')}
        type={setShiftDate}
      />
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <div class="form-actions">
        <button class="primary" type="submit" disabled={busy}>
          {t.save}
        </button>
      </div>
    </form>
  );
}
