import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { VerifyReport } from '#core/messages/api-verify';
import { useApp } from '../../../app-context.ts';
import { failureSentence } from '../../../data/api-client.ts';
import { whenText } from '../../../parts/when-text.ts';
import { said } from '../../../text/said.ts';
import { text } from '../../../text/text.ts';

interface RecordCheckProps {
  /** Where the check is asked for, below /api/v1. */
  readonly path: readonly string[];
  readonly note: string;
  readonly run: string;
  /** Beside the button. */
  readonly children?: ComponentChildren;
}

/** Checks on request whether everything kept of a joint still fits, and says the first thing that does not. */
export function JointCheck({ joint }: { readonly joint: string }) {
  const t = text.value.dispositions.check;
  return (
    <RecordCheck path={['joints', joint, 'verification']} note={t.note} run={t.run}>
      <a
        class="button"
        href={`/api/v1/joints/${encodeURIComponent(joint)}/record`}
        download={`${joint}.json`}
      >
        {t.download}
      </a>
    </RecordCheck>
  );
}

/** The same of everything kept here. */
export function StoreCheck() {
  const t = text.value.dispositions.check;
  return <RecordCheck path={['verification']} note={t.storeNote} run={t.runStore} />;
}

function RecordCheck({ path, note, run, children }: RecordCheckProps) {
  const { api } = useApp();
  const t = text.value.dispositions.check;
  const [busy, setBusy] = useState(false);
  const [report, setReport] = useState<VerifyReport | null>(null);
  const [failure, setFailure] = useState<string | null>(null);

  async function check(): Promise<void> {
    setBusy(true);
    setFailure(null);
    setReport(null);
    try {
      setReport(await api.get<VerifyReport>(path));
    } catch (error) {
      setFailure(t.failed(failureSentence(error, text.value.jointEntries.noServer)));
    } finally {
      setBusy(false);
    }
  }

  return (
    <section class="record-check" aria-labelledby="record-check-title">
      <h2 id="record-check-title">{t.title}</h2>
      <p class="hint">{note}</p>
      <p class="form-actions">
        <button type="button" disabled={busy} onClick={() => void check()}>
          {busy ? t.running : run}
        </button>
        {children}
      </p>
      <div role="status">{report !== null && <Report report={report} />}</div>
      <div role="alert">{failure !== null && <p class="message nodata">{failure}</p>}</div>
    </section>
  );
}

function Report({ report }: { readonly report: VerifyReport }) {
  const t = text.value.dispositions.check;
  const { fits, problems, checked, notes, keys, at } = report;
  const isEmpty = checked.records + checked.entries === 0;
  return (
    <div class="result" data-result={fits ? (isEmpty ? 'notShown' : 'pass') : 'fail'}>
      <p class="result-word">
        <span class="result-mark" aria-hidden="true">
          {fits ? (isEmpty ? '?' : '✓') : '◆'}
        </span>{' '}
        {fits ? (isEmpty ? t.nothing : t.fits) : t.fitsNot}
      </p>
      {problems.map(problem => (
        <p key={problem.text}>
          <strong>{said(problem.text)}</strong>
        </p>
      ))}
      <p>
        {t.counts(checked.records, checked.passes, checked.seals, checked.entries)}. {t.at(whenText(at))}
      </p>
      <ul>
        {notes.map(note => (
          <li key={note}>{note}</li>
        ))}
        {keys.map(({ of, fingerprint }) => (
          <li key={`${of} ${fingerprint}`} class="fingerprint">
            {t.key(of, fingerprint)}
          </li>
        ))}
      </ul>
    </div>
  );
}
