import { useEffect, useState } from 'preact/hooks';
import type { ProcedureState } from '#core/messages/api-journal';
import type { ProcedureRevision } from '#core/messages/api-procedure';
import type { Procedure } from '#core/procedure/procedure';
import { useApp } from '../../app-context.ts';
import { failureSentence } from '../../data/api-client.ts';
import { text } from '../../text/text.ts';
import { proposedShiftDate } from '../verify/check-entry.ts';
import { TypedField } from '../verify/fields.tsx';
import type { People } from '../verify/use-people.ts';
import { isNamed, type Who, WhoField } from '../verify/who-field.tsx';

type NewStatus = 'approved' | 'withdrawn';

interface StatusFormProps {
  readonly procedure: Procedure;
  readonly state: ProcedureState;
  readonly people: People;
  readonly done: () => Promise<void>;
}

/** Approving or withdrawing is an entry with a name and a reason; the text of the revision never changes. */
export function StatusForm({ procedure, state, people, done }: StatusFormProps) {
  const t = text.value.procedures.status;
  const [making, setMaking] = useState<NewStatus | null>(null);
  const [said, setSaid] = useState<NewStatus | null>(null);
  if (making !== null) {
    return (
      <StatusEntry
        procedure={procedure}
        status={making}
        state={state}
        people={people}
        cancel={() => setMaking(null)}
        done={async () => {
          await done();
          setSaid(making);
          setMaking(null);
        }}
      />
    );
  }
  return (
    <div class="form-actions status-actions">
      {state !== 'approved' && (
        <button type="button" onClick={() => setMaking('approved')}>
          {state === 'withdrawn' ? t.again : t.approve}
        </button>
      )}
      {(state === 'approved' || state === 'draft') && (
        <button type="button" onClick={() => setMaking('withdrawn')}>
          {t.withdraw}
        </button>
      )}
      <p role="status">{said === null ? '' : t.done[said]}</p>
    </div>
  );
}

interface StatusEntryProps {
  readonly procedure: Procedure;
  readonly status: NewStatus;
  readonly state: ProcedureState;
  readonly people: People;
  readonly cancel: () => void;
  readonly done: () => Promise<void>;
}

function StatusEntry({ procedure, status, state, people, cancel, done }: StatusEntryProps) {
  const { api } = useApp();
  const t = text.value.procedures.status;
  const [who, setWho] = useState<Who>({ who: people.lastWho, newName: '' });
  const [reason, setReason] = useState('');
  const [shiftDate, setShiftDate] = useState(() => proposedShiftDate(new Date()));
  const [tried, setTried] = useState(0);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  useEffect(() => {
    const first = tried === 0 ? '#status-reason' : '.status-entry [aria-invalid="true"]';
    document.querySelector<HTMLElement>(first)?.focus();
  }, [tried]);

  const missing = {
    reason: reason.trim() === '',
    who: !isNamed(who, people.all),
    shiftDate: !/^\d{4}-\d\d-\d\d$/.test(shiftDate),
  };
  const error = (field: keyof typeof missing): string | null =>
    tried > 0 && missing[field] ? t.missing[field] : null;

  /** A withdrawn revision comes back only as a correction of its withdrawal. */
  async function withdrawalToCorrect(): Promise<string | null> {
    if (state !== 'withdrawn') return null;
    const now = await api.get<ProcedureRevision>(['procedures', procedure.id, String(procedure.revision)]);
    return now.statusEntry?.id ?? null;
  }

  async function send(): Promise<void> {
    setTried(n => n + 1);
    setFailure(null);
    if (missing.reason || missing.who || missing.shiftDate) return;
    setBusy(true);
    try {
      await api.addEntry({
        author: await people.idOf(who),
        corrects: await withdrawalToCorrect(),
        shiftDate,
        reason: reason.trim(),
        body: {
          kind: 'procedureStatus',
          procedureId: procedure.id,
          procedureRevision: procedure.revision,
          status,
        },
      });
      await done();
    } catch (refused) {
      const known = failureSentence(refused, text.value.work.noServer);
      setFailure(t.failed(known));
      setBusy(false);
    }
  }

  return (
    <form
      class="form-sheet status-entry"
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void send();
      }}
    >
      <h2>{state === 'withdrawn' ? t.again : status === 'approved' ? t.approve : t.withdraw}</h2>
      <p>{state === 'withdrawn' ? t.correctNote : t.note}</p>
      {status === 'approved' && procedure.exampleOnly === true && <p class="message out">{t.exampleNote}</p>}
      <TypedField
        id="status-reason"
        label={t.reason}
        hint={t.reasonHint}
        kind="text"
        max={500}
        value={reason}
        error={error('reason')}
        type={setReason}
      />
      <WhoField
        id="status-who"
        label={t.who}
        value={who}
        people={people.all}
        error={error('who')}
        change={part => setWho(now => ({ ...now, ...part }))}
      />
      <TypedField
        id="status-date"
        label={t.shiftDate}
        kind="date"
        value={shiftDate}
        error={error('shiftDate')}
        type={setShiftDate}
      />
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <div class="form-actions">
        <button class="primary" type="submit" disabled={busy}>
          {t.what[status]}
        </button>
        <button type="button" onClick={cancel}>
          {t.cancel}
        </button>
      </div>
    </form>
  );
}
