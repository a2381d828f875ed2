import { useState } from 'preact/hooks';
import type { VerifyReport } from '#core/messages/api-verify';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { sentenceOf } from '../changes/use-read.ts';
import { Report } from '../joints/disposition/record-check.tsx';

/** Checks on request whether everything kept here still fits, and says the first thing that does not. */
export function StoreCheck() {
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
      setReport(await api.get<VerifyReport>(['verification']));
    } catch (error) {
      setFailure(t.failed(sentenceOf(error)));
    } finally {
      setBusy(false);
    }
  }

  return (
    <section class="record-check" aria-labelledby="store-check-title">
      <h2 id="store-check-title">{t.title}</h2>
      <p>{t.storeNote}</p>
      <p class="form-actions">
        <button type="button" disabled={busy} onClick={() => void check()}>
          {busy ? t.running : t.runStore}
        </button>
      </p>
      <div role="status">{report !== null && <Report report={report} />}</div>
      <div role="alert">{failure !== null && <p class="message nodata">{failure}</p>}</div>
    </section>
  );
}
