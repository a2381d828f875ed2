import { useState } from 'preact/hooks';
import { PASSPHRASE_LEAST, PASSPHRASE_MOST } from '#core/messages/account-rules';
import { text } from '../../text/text.ts';

interface PassphraseFieldProps {
  readonly id: string;
  readonly label: string;
  readonly hint?: string;
  readonly value: string;
  readonly isNew: boolean;
  readonly error: string | null;
  readonly type: (value: string) => void;
}

/** A passphrase, covered until its person wants to see what they type. Pasting and password managers work. */
export function PassphraseField({ id, label, hint, value, isNew, error, type }: PassphraseFieldProps) {
  const [shown, setShown] = useState(false);
  const t = text.value.accounts;
  const described = [
    ...(hint === undefined ? [] : [`${id}-hint`]),
    ...(error === null ? [] : [`${id}-error`]),
  ];
  const shared = {
    id,
    autoComplete: isNew ? 'new-password' : 'current-password',
    autoCapitalize: 'off' as const,
    spellcheck: false,
    maxLength: PASSPHRASE_MOST,
    value,
    'aria-invalid': error !== null,
    ...(described.length === 0 ? {} : { 'aria-describedby': described.join(' ') }),
    onInput: (event: { readonly currentTarget: HTMLInputElement }) => type(event.currentTarget.value),
  };
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {hint !== undefined && (
        <p class="hint" id={`${id}-hint`}>
          {hint}
        </p>
      )}
      {shown ? <input {...shared} type="text" /> : <input {...shared} type="password" />}
      {error !== null && (
        <p class="error" id={`${id}-error`}>
          {error}
        </p>
      )}
      <p class="picks">
        <button type="button" aria-pressed={shown} onClick={() => setShown(!shown)}>
          {t.showPassphrase}
        </button>
      </p>
    </div>
  );
}

export const isLongEnough = (passphrase: string): boolean => [...passphrase].length >= PASSPHRASE_LEAST;
