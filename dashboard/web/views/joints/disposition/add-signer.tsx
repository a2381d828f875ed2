import { useState } from 'preact/hooks';
import type { Person } from '#core/messages/api';
import { useApp } from '../../../app-context.ts';
import { failureSentence } from '../../../data/api-client.ts';
import { Pick } from '../../../parts/pick.tsx';
import { text } from '../../../text/text.ts';
import { TypedField } from '../../verify/fields.tsx';

const ROLES = ['inspector', 'reviewer'] as const;

/** A name that is not in the list, with the role that lets it rule. */
export function AddSigner({ added }: { readonly added: (person: Person) => void }) {
  const { api } = useApp();
  const t = text.value.dispositions;
  const [name, setName] = useState('');
  const [role, setRole] = useState('');
  const [tried, setTried] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);

  async function add(): Promise<void> {
    setTried(true);
    setFailure(null);
    const chosen = ROLES.find(one => one === role);
    if (name.trim() === '' || chosen === undefined) return;
    try {
      added(await api.addPerson({ name: name.trim(), roles: [chosen] }));
    } catch (error) {
      setFailure(failureSentence(error, text.value.jointEntries.noServer));
    }
  }

  return (
    <details class="more">
      <summary>{t.addTitle}</summary>
      <TypedField
        id="signer-name"
        label={t.addName}
        value={name}
        kind="text"
        max={80}
        error={tried && name.trim() === '' ? t.missing.name : null}
        type={setName}
      />
      <Pick
        name="signer-role"
        legend={t.addRole}
        options={ROLES.map(value => ({ value, label: t.roles[value] }))}
        value={role}
        error={tried && role === '' ? t.missing.role : null}
        pick={setRole}
      />
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <p class="form-actions">
        <button type="button" onClick={() => void add()}>
          {t.add}
        </button>
      </p>
    </details>
  );
}
