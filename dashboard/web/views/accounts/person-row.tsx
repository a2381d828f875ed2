import { useState } from 'preact/hooks';
import type { Person } from '#core/messages/api';
import type { AccountList } from '#core/messages/api-account';
import { whenText } from '../../parts/when-text.ts';
import { format, text } from '../../text/text.ts';
import { RolesField } from './roles-field.tsx';
import { SessionList } from './session-list.tsx';

interface PersonRowProps {
  readonly account: AccountList['accounts'][number];
  readonly busy: boolean;
  readonly giveCode: () => void;
  readonly withdraw: () => void;
  readonly changeRoles: (roles: Person['roles']) => Promise<boolean>;
  readonly end: (session: string) => void;
}

/** One person: what they may do, where they are signed in, and what an administrator can do about it. */
export function PersonRow({ account, busy, giveCode, withdraw, changeRoles, end }: PersonRowProps) {
  const t = text.value.accounts;
  const { person, signInName, state, codeEndsAt, sessions } = account;
  const [roles, setRoles] = useState<Person['roles'] | null>(null);
  const [asksWithdraw, setAsksWithdraw] = useState(false);
  const isOpen = state === 'open' || state === 'codeGiven';
  const { plural } = format();
  return (
    <li class="person-row" data-state={state}>
      <h2>
        {person.name} {signInName !== null && <small>{signInName}</small>}
      </h2>
      <p>
        {t.states[state]}
        {codeEndsAt !== null && `, ${t.codeUntil(whenText(codeEndsAt))}`}
        {sessions.length > 0 && `, ${t.signedInNow(plural(sessions.length, t.screens))}`}
        <br />
        {person.roles.map(role => t.roles[role]).join(', ')}
      </p>
      {sessions.length > 0 && <SessionList sessions={sessions} busy={busy} end={end} />}
      {isOpen && roles === null && !asksWithdraw && (
        <p class="form-actions">
          <button type="button" disabled={busy} onClick={() => setRoles(person.roles)}>
            {t.changeRoles}
          </button>
          <button type="button" disabled={busy} onClick={giveCode}>
            {t.giveCode}
          </button>
          <button type="button" disabled={busy} onClick={() => setAsksWithdraw(true)}>
            {t.withdraw}
          </button>
        </p>
      )}
      {roles !== null && (
        <div class="form-sheet">
          <RolesField
            id={`roles-${person.id}`}
            legend={t.rolesLegend}
            roles={roles}
            error={roles.length === 0 ? t.missing.roles : null}
            change={setRoles}
          />
          <p class="form-actions">
            <button
              type="button"
              class="primary"
              disabled={busy || roles.length === 0}
              onClick={() => void changeRoles(roles).then(done => done && setRoles(null))}
            >
              {t.saveRoles}
            </button>
            <button type="button" onClick={() => setRoles(null)}>
              {t.cancel}
            </button>
          </p>
        </div>
      )}
      {asksWithdraw && (
        <div>
          <p class="message plain">{t.withdrawSure(person.name)}</p>
          <p class="form-actions">
            <button
              type="button"
              class="primary"
              disabled={busy}
              onClick={() => {
                setAsksWithdraw(false);
                withdraw();
              }}
            >
              {t.withdrawYes}
            </button>
            <button type="button" onClick={() => setAsksWithdraw(false)}>
              {t.cancel}
            </button>
          </p>
        </div>
      )}
    </li>
  );
}
