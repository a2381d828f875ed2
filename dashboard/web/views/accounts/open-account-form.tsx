import { useEffect, useState } from 'preact/hooks';
import { isSignInName } from '#core/messages/account-rules';
import type { Person } from '#core/messages/api';
import type { AccountList } from '#core/messages/api-account';
import { text } from '../../text/text.ts';
import { TypedField } from '../verify/fields.tsx';
import { RolesField } from './roles-field.tsx';

export interface NewAccount {
  readonly person: string | null;
  readonly name: string;
  readonly signInName: string;
  readonly roles: Person['roles'];
}

interface OpenAccountFormProps {
  readonly accounts: AccountList['accounts'];
  readonly busy: boolean;
  /** True when it was opened. */
  readonly open: (account: NewAccount) => Promise<boolean>;
}

const EMPTY = { person: '', name: '', signInName: '' };

/** Lets somebody in: a new person, or one whose name is in the records. */
export function OpenAccountForm({ accounts, busy, open }: OpenAccountFormProps) {
  const t = text.value.accounts;
  const [form, setForm] = useState(EMPTY);
  const [roles, setRoles] = useState<Person['roles']>([]);
  const [tries, setTries] = useState(0);
  const type = (part: Partial<typeof EMPTY>): void => setForm(now => ({ ...now, ...part }));
  const names = accounts.filter(({ state }) => state === 'none' || state === 'withdrawn');
  const known = names.find(({ person }) => person.id === form.person) ?? null;
  const name = known?.person.name ?? form.name;
  const problems = {
    name: name.trim() === '' ? t.missing.yourName : null,
    signInName: isSignInName(form.signInName) ? null : t.missing.signInName,
    roles: roles.length === 0 ? t.missing.roles : null,
  };
  const shown = (problem: string | null): string | null => (tries === 0 ? null : problem);
  useEffect(() => {
    if (tries > 0) document.querySelector<HTMLElement>('#open-account [aria-invalid="true"]')?.focus();
  }, [tries]);

  async function send(): Promise<void> {
    if (Object.values(problems).some(problem => problem !== null)) {
      setTries(n => n + 1);
      return;
    }
    const account = { person: known?.person.id ?? null, name, signInName: form.signInName, roles };
    if (!(await open(account))) return;
    setForm(EMPTY);
    setRoles([]);
    setTries(0);
  }

  return (
    <form
      id="open-account"
      class="form-sheet"
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void send();
      }}
    >
      {names.length > 0 && (
        <div class="field">
          <label for="account-person">{t.whose}</label>
          <select
            id="account-person"
            value={form.person}
            onChange={event => type({ person: event.currentTarget.value })}
          >
            <option value="">{t.somebodyNew}</option>
            {names.map(({ person }) => (
              <option key={person.id} value={person.id}>
                {person.name}
              </option>
            ))}
          </select>
        </div>
      )}
      {known === null && (
        <TypedField
          id="account-name"
          label={t.personName}
          value={form.name}
          kind="text"
          max={80}
          error={shown(problems.name)}
          type={typed => type({ name: typed })}
        />
      )}
      <TypedField
        id="account-sign-in"
        label={t.name}
        hint={t.signInNameHint}
        value={form.signInName}
        kind="text"
        max={40}
        error={shown(problems.signInName)}
        type={signInName => type({ signInName })}
      />
      <RolesField
        id="account-role"
        legend={t.rolesLegend}
        roles={roles}
        error={shown(problems.roles)}
        change={setRoles}
      />
      <div class="form-actions">
        <button class="primary" type="submit" disabled={busy}>
          {t.open}
        </button>
      </div>
    </form>
  );
}
