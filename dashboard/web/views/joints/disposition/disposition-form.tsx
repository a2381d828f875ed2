import { useEffect, useState } from 'preact/hooks';
import { DECISIONS } from '#core/journal/decisions';
import type { Entry } from '#core/journal/entry';
import type { NewDisposition } from '#core/messages/api-disposition';
import { useApp } from '../../../app-context.ts';
import { failureSentence } from '../../../data/api-client.ts';
import { Pick } from '../../../parts/pick.tsx';
import { useSignedIn } from '../../../parts/use-signed-in.ts';
import { text } from '../../../text/text.ts';
import { proposedShiftDate } from '../../verify/check-entry.ts';
import { TypedField } from '../../verify/fields.tsx';
import { useDraft } from '../../verify/use-draft.ts';
import { jointUrl } from '../joint-routes.ts';
import { AddSigner } from './add-signer.tsx';
import { PassphraseSetter } from './passphrase-setter.tsx';
import { useSigners } from './use-signers.ts';

interface DispositionFormProps {
  readonly joint: string;
  /** Id of the disposition that is put right; null for a new one. */
  readonly corrects: string | null;
}

/** A ruling, its reason, and who signs it. It begins empty, also where it corrects another: nothing is proposed. */
export function DispositionForm({ joint, corrects }: DispositionFormProps) {
  const { api, changes, go } = useApp();
  const t = text.value.dispositions;
  const signers = useSigners();
  const [draft, change, clear] = useDraft(`girthlog.disposition.${joint}/${corrects ?? ''}`, () => ({
    ...{ decision: '', reason: '', who: '' },
    shiftDate: proposedShiftDate(new Date()),
  }));
  const { isKnown } = useSignedIn(draft.who, who => change({ who }));
  // Never in a draft: a passphrase is kept nowhere.
  const [passphrase, setPassphrase] = useState('');
  const [justSet, setJustSet] = useState(false);
  const [tries, setTries] = useState(0);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const signer = signers.all.find(({ id }) => id === draft.who) ?? null;
  const decision = DECISIONS.find(one => one === draft.decision);
  const problems = {
    decision: decision === undefined ? t.missing.decision : null,
    reason: draft.reason.trim() === '' ? t.missing.reason : null,
    who: signer === null ? t.missing.who : signer.hasPassphrase ? null : t.missing.passphraseNotSet,
    passphrase: passphrase === '' ? t.missing.passphrase : null,
    shiftDate: /^\d{4}-\d{2}-\d{2}$/.test(draft.shiftDate) ? null : t.missing.shiftDate,
  };
  const shown = (problem: string | null): string | null => (tries === 0 ? null : problem);

  useEffect(() => {
    if (tries > 0) document.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [tries]);

  async function sign(): Promise<void> {
    setFailure(null);
    if (decision === undefined || Object.values(problems).some(problem => problem !== null)) {
      setTries(n => n + 1);
      return;
    }
    const { who: author, shiftDate } = draft;
    const body: NewDisposition = {
      ...{ author, passphrase, shiftDate, decision, corrects },
      reason: draft.reason.trim(),
    };
    setBusy(true);
    try {
      const entry = await api.post<Entry>(['joints', joint, 'dispositions'], body);
      clear();
      changes.entered(entry);
      go({ view: 'joint', joint });
    } catch (error) {
      const { noServer } = text.value.jointEntries;
      setFailure(t.failed(failureSentence(error, noServer)));
    } finally {
      setPassphrase('');
      setBusy(false);
    }
  }

  return (
    <form
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void sign();
      }}
    >
      <p class="note">{t.caution}</p>
      <Pick
        name="decision"
        legend={t.legend}
        options={DECISIONS.map(value => ({ value, label: t.decisions[value] }))}
        value={draft.decision}
        error={shown(problems.decision)}
        pick={value => change({ decision: value })}
      />
      <TypedField
        id="reason"
        label={t.reason}
        hint={t.reasonHint}
        value={draft.reason}
        kind="text"
        max={500}
        error={shown(problems.reason)}
        type={reason => change({ reason })}
      />
      <TypedField
        id="shift-date"
        label={text.value.jointEntries.shiftDate}
        hint={text.value.jointEntries.shiftDateHint}
        value={draft.shiftDate}
        kind="date"
        error={shown(problems.shiftDate)}
        type={shiftDate => change({ shiftDate })}
      />
      <div class="field">
        <label for="signer">{t.who}</label>
        <p class="hint" id="signer-hint">
          {signers.all.length === 0 ? t.nobody : t.whoHint}
        </p>
        <select
          id="signer"
          value={draft.who}
          aria-invalid={shown(problems.who) !== null}
          aria-describedby="signer-hint"
          onChange={event => {
            setPassphrase('');
            setJustSet(false);
            change({ who: event.currentTarget.value });
          }}
        >
          <option value="">{t.whoChoose}</option>
          {signers.all.map(person => (
            <option key={person.id} value={person.id}>
              {person.name}
            </option>
          ))}
        </select>
        {shown(problems.who) !== null && <p class="error">{problems.who}</p>}
      </div>
      {!isKnown && (
        <AddSigner
          added={person => {
            signers.know({ ...person, hasPassphrase: false });
            change({ who: person.id });
          }}
        />
      )}
      {signer !== null && !signer.hasPassphrase && (
        <PassphraseSetter
          key={signer.id}
          person={signer}
          done={() => {
            signers.know({ ...signer, hasPassphrase: true });
            setJustSet(true);
          }}
        />
      )}
      <p role="status">{justSet ? t.setDone : ''}</p>
      {signer?.hasPassphrase === true && (
        <TypedField
          id="passphrase"
          label={t.passphrase}
          value={passphrase}
          kind="current-password"
          max={128}
          error={shown(problems.passphrase)}
          type={setPassphrase}
        />
      )}
      <div role="alert">{failure !== null && <p class="message out">{failure}</p>}</div>
      <div class="form-actions">
        <button class="primary save" type="submit" disabled={busy}>
          {busy ? t.signing : t.sign}
        </button>
        <a class="button" href={jointUrl(joint)}>
          {text.value.jointEntries.cancel}
        </a>
      </div>
    </form>
  );
}
