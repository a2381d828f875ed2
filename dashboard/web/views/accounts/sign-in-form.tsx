import { useEffect, useRef, useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { isLongEnough, PassphraseField } from './passphrase-field.tsx';
import { useRequest } from './use-request.ts';

interface SignInFormProps {
  /** Ids of two forms on one page differ by it. */
  readonly id: string;
  /** What else can be done than signing in; null where nothing can. */
  readonly later: (() => void) | null;
}

/** By name and passphrase, or by a code that sets a first one. What is typed is kept nowhere. */
export function SignInForm({ id, later }: SignInFormProps) {
  const { session } = useApp();
  const t = text.value.accounts;
  const [byCode, setByCode] = useState(false);
  const [name, setName] = useState(session.state.peek()?.signInName ?? '');
  const [code, setCode] = useState('');
  const [passphrase, setPassphrase] = useState('');
  const [tries, setTries] = useState(0);
  const { busy, failure, run } = useRequest();
  const form = useRef<HTMLFormElement>(null);
  const problems = {
    name: name.trim() === '' ? t.missing.name : null,
    code: byCode && code.trim() === '' ? t.missing.code : null,
    passphrase: byCode
      ? isLongEnough(passphrase)
        ? null
        : t.missing.newPassphrase
      : passphrase === ''
        ? t.missing.passphrase
        : null,
  };
  const shown = (problem: string | null): string | null => (tries === 0 ? null : problem);
  useEffect(() => {
    if (tries > 0) form.current?.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [tries]);

  async function send(): Promise<void> {
    if (Object.values(problems).some(problem => problem !== null)) {
      setTries(n => n + 1);
      return;
    }
    const isIn = await run(() =>
      byCode ? session.firstPassphrase({ name, code, passphrase }) : session.signIn(name, passphrase),
    );
    setPassphrase('');
    if (isIn) setCode('');
  }

  return (
    <form
      class="form-sheet"
      noValidate
      ref={form}
      onSubmit={event => {
        event.preventDefault();
        void send();
      }}
    >
      <TypedField
        id={`${id}-name`}
        label={t.name}
        value={name}
        kind="text"
        max={80}
        error={shown(problems.name)}
        type={setName}
      />
      {byCode && (
        <TypedField
          id={`${id}-code`}
          label={t.code}
          hint={t.codeHint}
          value={code}
          kind="text"
          max={80}
          error={shown(problems.code)}
          type={setCode}
        />
      )}
      <PassphraseField
        key={String(byCode)}
        id={`${id}-passphrase`}
        label={byCode ? t.newPassphrase : t.passphrase}
        {...(byCode ? { hint: t.newHint } : {})}
        value={passphrase}
        isNew={byCode}
        error={shown(problems.passphrase)}
        type={setPassphrase}
      />
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <div class="form-actions">
        <button class="primary" type="submit" disabled={busy}>
          {busy ? t.signingIn : byCode ? t.setAndSignIn : t.signIn}
        </button>
        <button type="button" onClick={() => setByCode(!byCode)}>
          {byCode ? t.havePassphrase : t.haveCode}
        </button>
        {later !== null && (
          <button type="button" onClick={later}>
            {t.later}
          </button>
        )}
      </div>
      <p class="hint">{session.state.value?.demo ? t.demoLink : t.lost}</p>
    </form>
  );
}
