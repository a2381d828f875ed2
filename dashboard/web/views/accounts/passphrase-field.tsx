import { useState } from 'preact/hooks';
import { PASSPHRASE_LEAST, PASSPHRASE_MOST } from '#core/messages/account-rules';
import { FieldFrame, fieldAttributes } from '../../parts/field-frame.tsx';
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
  const shared = {
    ...fieldAttributes({ id, hint, error }),
    autoComplete: isNew ? 'new-password' : 'current-password',
    autoCapitalize: 'off' as const,
    spellcheck: false,
    maxLength: PASSPHRASE_MOST,
    value,
    onInput: (event: { readonly currentTarget: HTMLInputElement }) => type(event.currentTarget.value),
  };
  const input = shown ? <input {...shared} type="text" /> : <input {...shared} type="password" />;
  return (
    <FieldFrame id={id} label={label} hint={hint} error={error} input={input}>
      <p class="picks">
        <button type="button" aria-pressed={shown} onClick={() => setShown(!shown)}>
          {t.showPassphrase}
        </button>
      </p>
    </FieldFrame>
  );
}

export const isLongEnough = (passphrase: string): boolean => [...passphrase].length >= PASSPHRASE_LEAST;
