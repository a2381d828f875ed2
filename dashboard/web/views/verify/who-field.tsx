import type { Person } from '#core/messages/api';
import { EnteredAs } from '../../parts/entered-as.tsx';
import { useSignedIn } from '../../parts/use-signed-in.ts';
import { text } from '../../text/text.ts';
import { NEW_PERSON } from '../assign/assign-form.ts';
import { TypedField } from './fields.tsx';

export interface Who {
  /** Person id, `new` for a name that is not in the list, or nothing chosen. */
  readonly who: string;
  readonly newName: string;
}

export const isNamed = ({ who, newName }: Who, people: readonly Person[]): boolean =>
  who === NEW_PERSON ? newName.trim() !== '' : people.some(person => person.id === who);

interface WhoFieldProps {
  readonly id: string;
  readonly label: string;
  readonly value: Who;
  readonly people: readonly Person[];
  readonly error: string | null;
  readonly change: (part: Partial<Who>) => void;
}

/**
 * Who enters something: who is signed in. Where the server cannot say who that is, a name of the list, or one to be
 * added to it.
 */
export function WhoField({ id, label, value, people, error, change }: WhoFieldProps) {
  const t = text.value.verify;
  const { isKnown } = useSignedIn(value.who, who => change({ who, newName: '' }));
  if (isKnown) return <EnteredAs error={error} />;
  const isNew = value.who === NEW_PERSON;
  return (
    <>
      <div class="field">
        <label for={id}>{label}</label>
        <p class="hint" id={`${id}-hint`}>
          {t.namesNotVerified}
        </p>
        <select
          id={id}
          value={value.who}
          aria-invalid={error !== null && !isNew}
          aria-describedby={`${id}-hint`}
          onChange={event => change({ who: event.currentTarget.value })}
        >
          <option value="">{t.whoChoose}</option>
          {people.map(person => (
            <option key={person.id} value={person.id}>
              {person.name}
            </option>
          ))}
          <option value={NEW_PERSON}>{t.whoNew}</option>
        </select>
        {error !== null && !isNew && <p class="error">{error}</p>}
      </div>
      {isNew && (
        <TypedField
          id={`${id}-new`}
          label={t.newName}
          value={value.newName}
          kind="text"
          max={80}
          error={error}
          type={newName => change({ newName })}
        />
      )}
    </>
  );
}
