import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { SignInForm } from './sign-in-form.tsx';

/** Where a person comes in. */
export function SignInView() {
  const { session } = useApp();
  const t = text.value.accounts;
  const state = session.state.value;
  const refused = session.linkFailure.value;
  return (
    <section class="sheet narrow">
      <h1>{t.signInTitle}</h1>
      {refused !== null && (
        <p class="message out" role="alert">
          {t.linkFailed} {refused}
        </p>
      )}
      {state?.state === 'setUp' && !state.demo && (
        <p>
          <a class="button" href="#/set-up">
            {t.setUpTitle}
          </a>
        </p>
      )}
      {state?.person ? (
        <p>
          {t.as(state.person.name)}{' '}
          <a class="button" href="#/">
            {text.value.back}
          </a>
        </p>
      ) : (
        <SignInForm id="sign-in" later={null} />
      )}
    </section>
  );
}
