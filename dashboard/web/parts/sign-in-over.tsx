import { useEffect, useRef } from 'preact/hooks';
import { useApp } from '../app-context.ts';
import { text } from '../text/text.ts';
import { SignInForm } from '../views/accounts/sign-in-form.tsx';

/** Signing in over the page, which stays as it is underneath with everything typed in it. */
export function SignInOver() {
  const { session } = useApp();
  const t = text.value.accounts;
  const dialog = useRef<HTMLDialogElement>(null);
  const asks = session.asks.value;
  useEffect(() => {
    if (asks) dialog.current?.showModal();
    else dialog.current?.close();
  }, [asks]);
  return (
    <dialog
      class="sign-in-over"
      ref={dialog}
      aria-labelledby="sign-in-over-title"
      onCancel={event => {
        event.preventDefault();
        session.dismiss();
      }}
    >
      {asks && (
        <>
          <h2 id="sign-in-over-title">{t.again}</h2>
          <p>{session.hadSession ? t.againWhy : t.firstWhy}</p>
          <SignInForm id="again" later={() => session.dismiss()} />
        </>
      )}
    </dialog>
  );
}
