import { useApp } from '../app-context.ts';
import { text } from '../text/text.ts';

/** Who this screen is signed in as, and the ways in and out. Nothing where the server cannot say it. */
export function SessionLine() {
  const { session } = useApp();
  const t = text.value.accounts;
  const state = session.state.value;
  if (state === null) return null;
  return (
    <section class="settings session-line" aria-label={t.who}>
      {state.demo && <p class="demo-note">{t.demo}</p>}
      {state.person === null ? (
        <>
          <p>{t.notSignedIn}</p>
          <a class="button" href={state.state === 'setUp' ? '#/set-up' : '#/sign-in'}>
            {state.state === 'setUp' ? t.setUpTitle : t.signIn}
          </a>
        </>
      ) : (
        <>
          <p>{t.as(state.person.name)}</p>
          <a class="button" href="#/account">
            {t.yourAccount}
          </a>
          {session.may('manageAccounts') && (
            <a class="button" href="#/people">
              {t.people}
            </a>
          )}
          <button type="button" onClick={() => void session.signOut()}>
            {t.signOut}
          </button>
        </>
      )}
    </section>
  );
}
