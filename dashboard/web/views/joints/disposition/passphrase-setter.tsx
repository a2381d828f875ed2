import { useState } from 'preact/hooks';
import type { Person } from '#core/messages/api';
import { useApp } from '../../../app-context.ts';
import { failureSentence } from '../../../data/api-client.ts';
import { text } from '../../../text/text.ts';
import { TypedField } from '../../verify/fields.tsx';

/** Shorter ones are refused by the server too. */
const LEAST = 8;

interface PassphraseSetterProps {
  readonly person: Person;
  readonly done: () => void;
}

/** Sets the first passphrase of a person who has none. What is typed is kept nowhere. */
export function PassphraseSetter({ person, done }: PassphraseSetterProps) {
  const { api } = useApp();
  const t = text.value.dispositions;
  const [first, setFirst] = useState('');
  const [again, setAgain] = useState('');
  const [tried, setTried] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const short = [...first].length < LEAST ? t.missing.short : null;
  const other = first === again ? null : t.missing.other;

  async function set(): Promise<void> {
    setTried(true);
    setFailure(null);
    if (short !== null || other !== null) return;
    try {
      const body = { author: person.id, authorPassphrase: null, passphrase: first };
      await api.post(['people', person.id, 'passphrase'], body);
      done();
    } catch (error) {
      setFailure(failureSentence(error, text.value.jointEntries.noServer));
    }
  }

  return (
    <fieldset class="passphrase-set">
      <legend>
        <bdi>{t.setTitle(person.name)}</bdi>
      </legend>
      <p class="hint">{t.setNote}</p>
      <TypedField
        id="passphrase-first"
        label={t.setFirst}
        value={first}
        kind="new-password"
        max={128}
        error={tried ? short : null}
        type={setFirst}
      />
      <TypedField
        id="passphrase-again"
        label={t.setAgain}
        value={again}
        kind="new-password"
        max={128}
        error={tried ? other : null}
        type={setAgain}
      />
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <p class="form-actions">
        <button type="button" onClick={() => void set()}>
          {t.set}
        </button>
      </p>
    </fieldset>
  );
}
