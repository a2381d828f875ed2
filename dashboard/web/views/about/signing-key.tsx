import { useEffect, useState } from 'preact/hooks';
import type { DashboardKeys } from '#core/messages/api-disposition';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';

/** The fingerprint people compare with what they wrote down. */
export function SigningKey() {
  const { api } = useApp();
  const t = text.value.dispositions.keys;
  const [fingerprint, setFingerprint] = useState<string | null>(null);
  const [failed, setFailed] = useState(false);
  useEffect(() => {
    api.get<DashboardKeys>(['keys']).then(
      ({ dashboard }) => setFingerprint(dashboard.fingerprint),
      () => setFailed(true),
    );
  }, [api]);
  return (
    <>
      <h2>{t.title}</h2>
      <p>{t.note}</p>
      {failed && <p class="message nodata">{t.failed}</p>}
      {fingerprint !== null && (
        <dl class="result-rows">
          <div>
            <dt>{t.fingerprint}</dt>
            <dd class="fingerprint">{fingerprint.replaceAll(/(....)(?=.)/g, '$1 ')}</dd>
          </div>
        </dl>
      )}
    </>
  );
}
