import { useState } from 'preact/hooks';
import type { VerifyReport } from '#core/messages/api-verify';
import { useApp } from '../../../app-context.ts';
import { ApiError } from '../../../data/api-client.ts';
import { whenText } from '../../../parts/when-text.ts';
import { text } from '../../../text/text.ts';

/** Checks on request whether everything kept of a joint still fits, and says the first thing that does not. */
export function RecordCheck({ joint }: { readonly joint: string }) {
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
      setReport(await api.get<VerifyReport>(['joints', joint, 'verification']));
    } catch (error) {
      const { noServer } = text.value.jointEntries;
      setFailure(t.failed(error instanceof ApiError && error.message !== '' ? error.message : noServer));
    } finally {
      setBusy(false);
    }
  }

  return (
    <section class="record-check" aria-labelledby="record-check-title">
      <h2 id="record-check-title">{t.title}</h2>
      <p class="hint">{t.note}</p>
      <p class="form-actions">
        <button type="button" disabled={busy} onClick={() => void check()}>
          {busy ? t.running : t.run}
        </button>
        <a
          class="button"
          href={`/api/v1/joints/${encodeURIComponent(joint)}/record`}
          download={`${joint}.json`}
        >
          {t.download}
        </a>
      </p>
      <div role="status">{report !== null && <Report report={report} />}</div>
      <div role="alert">{failure !== null && <p class="message nodata">{failure}</p>}</div>
    </section>
  );
}

/** What a check found: of a joint or of everything. */
export function Report({ report }: { readonly report: VerifyReport }) {
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
          <strong>{problem.text}</strong>
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
