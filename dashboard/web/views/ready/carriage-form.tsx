import { useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { proposedShiftDate } from '../verify/check-entry.ts';
import { TypedField } from '../verify/fields.tsx';
import { failureText } from '../verify/save-block.tsx';
import { usePeople } from '../verify/use-people.ts';
import { isNamed, type Who, WhoField } from '../verify/who-field.tsx';

/** As topics carry it: what the journal takes for a carriage. */
const CARRIAGE_ID = /^[a-z0-9-]{1,64}$/;

interface CarriageFormProps {
  readonly site: string;
  readonly rig: string;
  readonly now: string | null;
  readonly onSaved: () => void;
}

/** Which carriage this torch rides on: torches of one carriage share its name. */
export function CarriageForm({ site, rig, now, onSaved }: CarriageFormProps) {
  const { api } = useApp();
  const people = usePeople();
  const r = text.value.ready;
  const id = `carriage-${site}-${rig}`;
  const [carriage, setCarriage] = useState(now ?? '');
  const [who, setWho] = useState<Who>({ who: people.lastWho, newName: '' });
  const [tried, setTried] = useState(false);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const carriageId = carriage.trim().toLowerCase();
  const nameWrong = !CARRIAGE_ID.test(carriageId);
  const whoWrong = !isNamed(who, people.all);

  async function save(): Promise<void> {
    setTried(true);
    setFailure(null);
    if (nameWrong || whoWrong) return;
    setBusy(true);
    try {
      const author = await people.idOf(who);
      const body = { kind: 'carriage' as const, site, rig, carriageId };
      await api.addEntry({
        author,
        shiftDate: proposedShiftDate(new Date()),
        reason: null,
        corrects: null,
        body,
      });
      onSaved();
    } catch (caught) {
      setFailure(failureText(caught));
    } finally {
      setBusy(false);
    }
  }

  return (
    <form
      class="carriage-form"
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void save();
      }}
    >
      <TypedField
        id={id}
        label={r.carriageName}
        hint={r.carriageHint}
        value={carriage}
        kind="text"
        max={64}
        error={tried && nameWrong ? r.carriageWrong : null}
        type={setCarriage}
      />
      <WhoField
        id={`${id}-who`}
        label={r.carriageWho}
        value={who}
        people={people.all}
        error={tried && whoWrong ? r.carriageWhoWrong : null}
        change={part => setWho(before => ({ ...before, ...part }))}
      />
      {failure !== null && (
        <p class="message out" role="alert">
          {failure}
        </p>
      )}
      <button type="submit" class="primary" disabled={busy}>
        {r.carriageSave}
      </button>
    </form>
  );
}
