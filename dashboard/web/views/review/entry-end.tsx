import { text } from '../../text/text.ts';
import type { People } from '../verify/use-people.ts';
import { WhoField } from '../verify/who-field.tsx';
import type { EntryDesk } from './use-entry.ts';

interface EntryEndProps {
  readonly id: string;
  readonly desk: EntryDesk;
  readonly people: People;
  readonly save: string;
  /** Absent where there is nothing to go back to. */
  readonly cancel?: () => void;
}

/** The end of every small form: who enters it, what went wrong, save and cancel. */
export function EntryEnd({ id, desk, people, save, cancel }: EntryEndProps) {
  const t = text.value.review;
  return (
    <>
      <WhoField
        id={`${id}-who`}
        label={t.who}
        value={desk.who}
        people={people.all}
        error={desk.whoError}
        change={desk.changeWho}
      />
      <div role="alert">{desk.failure !== null && <p class="message out">{desk.failure}</p>}</div>
      <div class="form-actions">
        <button class="primary" type="submit" disabled={desk.busy}>
          {save}
        </button>
        {cancel !== undefined && (
          <button type="button" onClick={cancel}>
            {t.cancel}
          </button>
        )}
      </div>
    </>
  );
}
