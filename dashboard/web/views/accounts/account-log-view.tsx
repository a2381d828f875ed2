import { useEffect, useState } from 'preact/hooks';
import type { Person } from '#core/messages/api';
import type { AuditEntry, AuditPage } from '#core/messages/api-account';
import { useApp } from '../../app-context.ts';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';
import { SignInView } from './sign-in-view.tsx';
import { useRequest } from './use-request.ts';

/** What was done with accounts, in plain words: for administrators. */
export function AccountLogView() {
  const { api, session } = useApp();
  const t = text.value.accounts;
  const [entries, setEntries] = useState<readonly AuditEntry[]>([]);
  const [next, setNext] = useState<string | null>(null);
  const [brokenAt, setBrokenAt] = useState<number | null | undefined>(undefined);
  const [people, setPeople] = useState<readonly Person[]>([]);
  const { busy, failure, run } = useRequest();
  const may = session.may('readAudit');
  const read = (before: string | null): Promise<boolean> =>
    run(async () => {
      const page = await api.get<AuditPage>(['audit'], before === null ? {} : { before });
      setEntries(known => (before === null ? page.entries : [...known, ...page.entries]));
      setNext(page.next);
      if (before === null) setBrokenAt(page.brokenAt);
    });
  useEffect(() => {
    if (!may) return;
    api.people().then(setPeople, () => setPeople([]));
    void read(null);
  }, [api, may]);
  if (session.person.value === null) return <SignInView />;
  if (!may) return <p class="sheet">{t.onlyAdministrators}</p>;
  const nameOf = (id: string): string => people.find(person => person.id === id)?.name ?? id;
  const byWhom = (by: string | null): string => {
    if (by === null) return t.nobody;
    if (by === 'console') return t.console;
    return by.startsWith('program ') ? t.program(by.slice(8)) : nameOf(by);
  };
  const c = t.logColumns;
  return (
    <section class="sheet">
      <p>
        <a class="button" href="#/people">
          {t.back}
        </a>
      </p>
      <h1>{t.logTitle}</h1>
      <p>{t.logIntro}</p>
      <div role="alert">
        {failure !== null && <p class="message out">{failure}</p>}
        {typeof brokenAt === 'number' && <p class="message out">{t.logBroken(String(brokenAt))}</p>}
      </div>
      {brokenAt === null && <p class="message plain">{t.logHolds}</p>}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a table wider than the screen is scrolled by keys */}
      <section class="wide-table" tabIndex={0} aria-label={t.logTitle}>
        <table>
          <thead>
            <tr>
              <th scope="col">{c.time}</th>
              <th scope="col">{c.what}</th>
              <th scope="col">{c.who}</th>
              <th scope="col">{c.by}</th>
              <th scope="col">{c.from}</th>
              <th scope="col">{c.detail}</th>
            </tr>
          </thead>
          <tbody>
            {entries.map(({ number, at, what, person, by, address, detail }) => (
              <tr key={number}>
                <td>{whenText(at)}</td>
                <td>{t.what[what]}</td>
                <td>{person === null ? '' : nameOf(person)}</td>
                <td>{byWhom(by)}</td>
                <td>{address ?? ''}</td>
                <td>{detail ?? ''}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {next !== null && (
        <p class="form-actions">
          <button type="button" disabled={busy} onClick={() => void read(next)}>
            {t.more}
          </button>
        </p>
      )}
    </section>
  );
}
