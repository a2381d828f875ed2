import { useEffect, useState } from 'preact/hooks';
import { isSignInName } from '#core/messages/account-rules';
import type { Person } from '#core/messages/api';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { isLongEnough, PassphraseField } from './passphrase-field.tsx';
import { RolesField } from './roles-field.tsx';
import { useRequest } from './use-request.ts';

const EMPTY = { code: '', name: '', signInName: '', passphrase: '' };

/** The first administrator, by the code on the console. */
export function SetUpView() {
  const { session, go } = useApp();
  const t = text.value.accounts;
  const [form, setForm] = useState(EMPTY);
  const [roles, setRoles] = useState<Person['roles']>([]);
  const [tries, setTries] = useState(0);
  const { busy, failure, run } = useRequest();
  const type = (part: Partial<typeof EMPTY>): void => setForm(now => ({ ...now, ...part }));
  const problems = {
    code: form.code.trim() === '' ? t.missing.code : null,
    name: form.name.trim() === '' ? t.missing.yourName : null,
    signInName: isSignInName(form.signInName) ? null : t.missing.signInName,
    passphrase: isLongEnough(form.passphrase) ? null : t.missing.newPassphrase,
  };
  const shown = (problem: string | null): string | null => (tries === 0 ? null : problem);
  useEffect(() => {
    if (tries > 0) document.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [tries]);

  async function send(): Promise<void> {
    if (Object.values(problems).some(problem => problem !== null)) {
      setTries(n => n + 1);
      return;
    }
    if (await run(() => session.setUp({ ...form, roles }))) {
      setForm(EMPTY);
      go({ view: 'people' });
    }
  }

  return (
    <section class="sheet narrow">
      <h1>{t.setUpTitle}</h1>
      <p>{t.setUpIntro}</p>
      <form
        class="form-sheet"
        noValidate
        onSubmit={event => {
          event.preventDefault();
          void send();
        }}
      >
        <TypedField
          id="set-up-code"
          label={t.code}
          hint={t.setUpCodeHint}
          value={form.code}
          kind="text"
          max={80}
          error={shown(problems.code)}
          type={code => type({ code })}
        />
        <TypedField
          id="set-up-person"
          label={t.yourName}
          hint={t.yourNameHint}
          value={form.name}
          kind="text"
          max={80}
          error={shown(problems.name)}
          type={name => type({ name })}
        />
        <TypedField
          id="set-up-name"
          label={t.name}
          hint={t.signInNameHint}
          value={form.signInName}
          kind="text"
          max={40}
          error={shown(problems.signInName)}
          type={signInName => type({ signInName })}
        />
        <PassphraseField
          id="set-up-passphrase"
          label={t.newPassphrase}
          hint={t.newHint}
          value={form.passphrase}
          isNew
          error={shown(problems.passphrase)}
          type={passphrase => type({ passphrase })}
        />
        <RolesField
          id="set-up-role"
          legend={t.alsoRoles}
          roles={roles}
          but="administrator"
          error={null}
          change={setRoles}
        />
        <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
        <div class="form-actions">
          <button class="primary" type="submit" disabled={busy}>
            {t.setUp}
          </button>
        </div>
      </form>
    </section>
  );
}
