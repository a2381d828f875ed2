import { useEffect, useRef } from 'preact/hooks';
import type { GivenCode as Given } from '#core/messages/api-account';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';

/** A code as it is handed over; it is on no other screen and in no file. */
export function GivenCode({ given }: { readonly given: Given }) {
  const t = text.value.accounts;
  const box = useRef<HTMLDivElement>(null);
  useEffect(() => box.current?.focus(), [given]);
  return (
    <div class="given-code" role="status" tabIndex={-1} ref={box}>
      <h2>{t.given(given.person.name)}</h2>
      <p class="code-letters">{given.code}</p>
      <p>{t.givenHow(given.signInName, whenText(given.endsAt))}</p>
    </div>
  );
}
