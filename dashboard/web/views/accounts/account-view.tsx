import { useEffect, useState } from 'preact/hooks';
import type { SessionList as Sessions } from '#core/messages/api-account';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { isLongEnough, PassphraseField } from './passphrase-field.tsx';
import { SessionList } from './session-list.tsx';
import { SignInView } from './sign-in-view.tsx';
import { useRequest } from './use-request.ts';

/** One's own passphrase, and where one is signed in. */
export function AccountView() {
  const { api, session } = useApp();
  const t = text.value.accounts;
  const state = session.state.value;
  const [sessions, setSessions] = useState<Sessions['sessions']>([]);
  const { busy, failure, run } = useRequest();
  const person = state?.person ?? null;
  const id = person?.id ?? null;
  const ask = (work: () => Promise<Sessions>): Promise<boolean> =>
    run(async () => setSessions((await work()).sessions));
  useEffect(() => {
    if (id !== null) void ask(() => api.get(['account', 'sessions']));
  }, [api, id]);
  if (person === null) return <SignInView />;
  return (
    <section class="sheet narrow">
      <p>
        <a class="button" href="#/">
          {text.value.back}
        </a>
      </p>
      <h1>{t.accountTitle}</h1>
      <p>
        <strong>{person.name}</strong>
        <br />
        {t.accountName(state?.signInName ?? '')}
        <br />
        {t.accountRoles(person.roles.map(role => t.roles[role]).join(', '))}
      </p>
      <ChangePassphrase change={body => ask(() => api.post(['account', 'passphrase'], body))} />
      <h2>{t.sessions}</h2>
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <SessionList
        sessions={sessions}
        busy={busy}
        end={one => void ask(() => api.ask(['account', 'sessions', one], { method: 'DELETE' }))}
      />
      <p class="form-actions">
        {sessions.length > 1 && (
          <button
            type="button"
            disabled={busy}
            onClick={() => void ask(() => api.ask(['account', 'sessions'], { method: 'DELETE' }))}
          >
            {t.endOthers}
          </button>
        )}
        <button type="button" onClick={() => void session.signOut()}>
          {t.signOut}
        </button>
      </p>
    </section>
  );
}

interface ChangePassphraseProps {
  readonly change: (body: { present: string | null; passphrase: string }) => Promise<boolean>;
}

function ChangePassphrase({ change }: ChangePassphraseProps) {
  const { api, session } = useApp();
  const t = text.value.accounts;
  const [present, setPresent] = useState('');
  const [passphrase, setPassphrase] = useState('');
  const [tried, setTried] = useState(false);
  const [done, setDone] = useState(false);
  const [isFirst, setIsFirst] = useState(false);
  const id = session.person.value?.id ?? null;
  useEffect(() => {
    // Who came by a link may have none.
    api.people().then(
      people => setIsFirst(people.some(one => one.id === id && 'hasPassphrase' in one && !one.hasPassphrase)),
      () => setIsFirst(false),
    );
  }, [api, id]);
  const isLong = isLongEnough(passphrase);

  async function send(): Promise<void> {
    setTried(true);
    setDone(false);
    if (!isLong) return;
    if (!(await change({ present: isFirst ? null : present, passphrase }))) return;
    setPresent('');
    setPassphrase('');
    setTried(false);
    setIsFirst(false);
    setDone(true);
  }

  return (
    <>
      <h2>{t.changePassphrase}</h2>
      {isFirst && <p class="message plain">{t.firstOwn}</p>}
      <form
        class="form-sheet"
        noValidate
        onSubmit={event => {
          event.preventDefault();
          void send();
        }}
      >
        {!isFirst && (
          <PassphraseField
            id="present"
            label={t.presentPassphrase}
            value={present}
            isNew={false}
            error={null}
            type={setPresent}
          />
        )}
        <PassphraseField
          id="new"
          label={t.newPassphrase}
          hint={t.newHint}
          value={passphrase}
          isNew
          error={tried && !isLong ? t.missing.newPassphrase : null}
          type={setPassphrase}
        />
        <p role="status">{done && t.changed}</p>
        <div class="form-actions">
          <button class="primary" type="submit">
            {t.change}
          </button>
        </div>
      </form>
    </>
  );
}
