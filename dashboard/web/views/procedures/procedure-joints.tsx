import { useState } from 'preact/hooks';
import type { ProcedureJoints as Joints } from '#core/messages/api-procedure';
import { useApp } from '../../app-context.ts';
import { failureSentence } from '../../data/api-client.ts';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';

/** Which joints used a revision: one click. */
export function ProcedureJoints({ id, revision }: { readonly id: string; readonly revision: number }) {
  const { api } = useApp();
  const t = text.value.procedures;
  const [joints, setJoints] = useState<Joints['joints'] | null>(null);
  const [failure, setFailure] = useState<string | null>(null);

  async function load(): Promise<void> {
    try {
      setJoints((await api.get<Joints>(['procedures', id, String(revision), 'joints'])).joints);
      setFailure(null);
    } catch (error) {
      const known = failureSentence(error, t.noServer);
      setFailure(t.failed(known));
    }
  }

  return (
    <section class="joints-used" aria-label={t.joints}>
      {joints === null ? (
        <button type="button" onClick={() => void load()}>
          {t.joints}
        </button>
      ) : (
        <h2>{t.joints}</h2>
      )}
      <div role="status">
        {failure !== null && <p class="message out">{failure}</p>}
        {joints?.length === 0 && <p>{t.jointsNone}</p>}
      </div>
      {joints !== null && joints.length > 0 && (
        <ul class="used-list">
          {joints.map(({ joint, origin, by, lastUtc }) => (
            <li key={`${joint} ${origin}`}>
              <a class="button" href={`#/joints/${encodeURIComponent(joint)}`}>
                {joint}
              </a>
              <span>
                {text.value.origin[origin]}, {by.map(one => t.jointBy[one]).join(', ')}, {whenText(lastUtc)}
              </span>
            </li>
          ))}
        </ul>
      )}
    </section>
  );
}
