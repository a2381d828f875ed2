import { peopleRoles } from '#core/messages/account-rules';
import type { Person } from '#core/messages/api';
import { text } from '../../text/text.ts';

type Role = Person['roles'][number];

interface RolesFieldProps {
  readonly id: string;
  readonly legend: string;
  readonly roles: readonly Role[];
  /** Left out of the choice. */
  readonly but?: Role;
  readonly error: string | null;
  readonly change: (roles: Role[]) => void;
}

/** Any of the roles, each with what it may do. */
export function RolesField({ id, legend, roles, but, error, change }: RolesFieldProps) {
  const t = text.value.accounts;
  return (
    <fieldset>
      <legend>{legend}</legend>
      <div class="checks">
        {peopleRoles
          .filter(role => role !== but)
          .map(role => (
            <label key={role} class="check">
              <input
                type="checkbox"
                id={`${id}-${role}`}
                checked={roles.includes(role)}
                aria-invalid={error !== null}
                onChange={event =>
                  change(event.currentTarget.checked ? [...roles, role] : roles.filter(one => one !== role))
                }
              />
              <span>
                {t.roles[role]} <small>{t.roleHints[role]}</small>
              </span>
            </label>
          ))}
      </div>
      {error !== null && <p class="error">{error}</p>}
    </fieldset>
  );
}
