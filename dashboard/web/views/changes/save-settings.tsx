import { useState } from 'preact/hooks';
import type { DriftSettings } from '#core/messages/drift';
import { text } from '../../text/text.ts';
import { EntryEnd } from '../review/entry-end.tsx';
import { useEntry } from '../review/use-entry.ts';
import { TypedField } from '../verify/fields.tsx';
import type { People } from '../verify/use-people.ts';

interface SaveSettingsProps {
  readonly settings: DriftSettings;
  readonly people: People;
  readonly done: () => void;
}

/** Changing how changes are called is an entry with a name and a reason. */
export function SaveSettings({ settings, people, done }: SaveSettingsProps) {
  const t = text.value.changes.settings;
  const desk = useEntry(people, done);
  const [reason, setReason] = useState('');
  const given = reason.trim();
  return (
    <form
      class="form-sheet"
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void desk.send(given === '' ? null : { kind: 'watchChanged', settings }, given);
      }}
    >
      <TypedField
        id="settings-reason"
        label={t.reason}
        kind="text"
        max={500}
        value={reason}
        error={desk.tried && given === '' ? t.reasonMissing : null}
        type={setReason}
      />
      <EntryEnd id="settings" desk={desk} people={people} save={t.save} />
    </form>
  );
}
