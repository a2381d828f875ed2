import { useApp } from '../app-context.ts';
import { text } from '../text/text.ts';

/** Under whose name something is entered, or the way to say it. */
export function EnteredAs({ error = null }: { readonly error?: string | null }) {
  const { session } = useApp();
  const t = text.value.accounts;
  const person = session.person.value;
  return (
    <div class="field entered-as">
      {person !== null && session.state.value?.state === 'signedIn' && !session.may('enter') ? (
        t.onlyLooks(person.name)
      ) : person !== null ? (
        <>
          {t.enteredAs} <strong>{person.name}</strong>
        </>
      ) : (
        <>
          {t.signInToEnter}{' '}
          <button type="button" aria-invalid={error !== null} onClick={() => void session.signInAgain()}>
            {t.signIn}
          </button>
        </>
      )}
      {error !== null && person === null && <p class="error">{t.signInFirst}</p>}
    </div>
  );
}
