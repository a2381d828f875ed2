import { useEffect, useState } from 'preact/hooks';
import type { AccountList, GivenCode as Given } from '#core/messages/api-account';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { GivenCode } from './given-code.tsx';
import { OpenAccountForm } from './open-account-form.tsx';
import { PersonRow } from './person-row.tsx';
import { SignInView } from './sign-in-view.tsx';
import { useRequest } from './use-request.ts';

/** Everybody, and who may come in: for administrators. */
export function PeopleView() {
  const { api, session } = useApp();
  const t = text.value.accounts;
  const [accounts, setAccounts] = useState<AccountList['accounts']>([]);
  const [given, setGiven] = useState<Given | null>(null);
  const { busy, failure, run } = useRequest();
  const may = session.may('manageAccounts');
  const refresh = async (): Promise<void> => setAccounts((await api.get<AccountList>(['accounts'])).accounts);
  const give = async (work: () => Promise<Given>): Promise<void> => {
    setGiven(await work());
    await refresh();
  };
  const drop = (...parts: string[]): Promise<boolean> =>
    run(async () => setAccounts((await api.ask<AccountList>(parts, { method: 'DELETE' })).accounts));
  useEffect(() => {
    if (may) void run(refresh);
  }, [api, may]);
  if (session.person.value === null) return <SignInView />;
  if (!may) return <p class="sheet">{t.onlyAdministrators}</p>;
  return (
    <section class="sheet">
      <p>
        <a class="button" href="#/">
          {text.value.back}
        </a>{' '}
        <a class="button" href="#/people/log">
          {t.logOpen}
        </a>
      </p>
      <h1>{t.peopleTitle}</h1>
      <p>{t.peopleIntro}</p>
      {given !== null && <GivenCode given={given} />}
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <ul class="person-list">
        {accounts.map(account => {
          const { id } = account.person;
          return (
            <PersonRow
              key={id}
              account={account}
              busy={busy}
              giveCode={() => void run(() => give(() => api.post(['accounts', id, 'code'], {})))}
              withdraw={() => void drop('accounts', id)}
              changeRoles={roles =>
                run(async () => {
                  await api.post(['accounts', id, 'roles'], { roles });
                  await refresh();
                  await session.refresh();
                })
              }
              end={one => void drop('sessions', one)}
            />
          );
        })}
      </ul>
      <h2>{t.addTitle}</h2>
      <OpenAccountForm
        accounts={accounts}
        busy={busy}
        open={account => run(() => give(() => api.post(['accounts'], account)))}
      />
    </section>
  );
}
