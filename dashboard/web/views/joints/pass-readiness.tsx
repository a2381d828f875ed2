import { useEffect, useState } from 'preact/hooks';
import type { PassJournal } from '#core/messages/api-pass-journal';
import { useApp } from '../../app-context.ts';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';

/**
 * What the rig lacked when this pass began, by what had been entered until then, and when it was welded where the
 * clock of its edge was not set yet; nothing where all was well.
 */
export function PassReadiness({ passId }: { readonly passId: string }) {
  const { api } = useApp();
  const j = text.value.joints;
  const [found, setFound] = useState<Pick<PassJournal, 'readiness' | 'redated'> | 'unknown' | null>(null);
  useEffect(() => {
    api.get<PassJournal>(['passes', passId, 'journal']).then(setFound, () => setFound('unknown'));
  }, [api, passId]);
  if (found === null) return null;
  if (found === 'unknown') return <p class="hint">{j.readinessUnknown}</p>;
  const { readiness, redated } = found;
  return (
    <>
      {redated && <p class="hint">{j.redated(whenText(redated.startUtc), whenText(redated.endUtc))}</p>}
      {!readiness.ready && (
        <details class="pass-readiness">
          <summary>{j.notReadyThen(readiness.findings.length)}</summary>
          <p>{readiness.findings.map(finding => said(finding.text)).join(' ')}</p>
        </details>
      )}
    </>
  );
}
