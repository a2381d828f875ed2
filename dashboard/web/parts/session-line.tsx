import { useApp } from '../app-context.ts';
import { text } from '../text/text.ts';

/** Who this screen is signed in as, and the ways in and out. Nothing where the server cannot say it. */
export function SessionLine() {
  const { session } = useApp();
  const t = text.value.accounts;
  const state = session.state.value;
  if (state === null) return null;
  // Whoever starts a demo is given a link; nobody has to be its administrator.
  const setsUp = state.state === 'setUp' && !state.demo;
  return (
    <section class="settings session-line" aria-label={t.who}>
      {state.demo && <p class="demo-note">{t.demo}</p>}
      {state.person === null ? (
        <>
          <p>{t.notSignedIn}</p>
          <a class="button" href={setsUp ? '#/set-up' : '#/sign-in'}>
            {setsUp ? t.setUpTitle : t.signIn}
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
