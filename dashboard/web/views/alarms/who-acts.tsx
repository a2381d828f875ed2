import { useEffect, useRef, useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import { EnteredAs } from '../../parts/entered-as.tsx';
import { text } from '../../text/text.ts';
import { NEW_PERSON } from '../assign/assign-form.ts';
import { failureText } from '../verify/save-block.tsx';
import { usePeople } from '../verify/use-people.ts';
import { isNamed, type Who, WhoField } from '../verify/who-field.tsx';

/** Under whose name things are done on this device; asked for once. */
export function WhoActs() {
  const { actions, session } = useApp();
  const t = text.value.alarms;
  const people = usePeople();
  const [open, setOpen] = useState(false);
  const [who, setWho] = useState<Who>({ who: '', newName: '' });
  const [error, setError] = useState<string | null>(null);
  const box = useRef<HTMLDivElement>(null);
  const acting = actions.who.value;
  const asked = actions.asksWho.value;
  useEffect(() => {
    if (asked) box.current?.querySelector('select')?.focus();
  }, [asked]);

  async function take(): Promise<void> {
    if (!isNamed(who, people.all)) {
      setError(text.value.jointEntries.missing.who);
      return;
    }
    try {
      const id = await people.idOf(who);
      actions.name({ id, name: who.who === NEW_PERSON ? who.newName.trim() : people.nameOf(id) });
      setOpen(false);
      setError(null);
    } catch (failure) {
      setError(failureText(failure));
    }
  }

  if (session.state.value !== null) return <EnteredAs error={asked ? '' : null} />;
  return (
    <div class="who-acts form-sheet" ref={box}>
      <p>
        {t.actAs} <strong>{acting === null ? t.actAsNobody : acting.name}</strong>{' '}
        {!open && !asked && (
          <button type="button" onClick={() => setOpen(true)}>
            {t.changeWho}
          </button>
        )}
      </p>
      {(open || asked) && (
        <>
          {asked && <p class="message plain">{t.nameFirst}</p>}
          <WhoField
            id="alarm-who"
            label={text.value.work.who}
            value={who}
            people={people.all}
            error={error}
            change={part => setWho(now => ({ ...now, ...part }))}
          />
          <p class="form-actions">
            <button type="button" class="primary" onClick={() => void take()}>
              {t.whoAction}
            </button>
          </p>
        </>
      )}
    </div>
  );
}
