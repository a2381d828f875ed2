import { useEffect, useState } from 'preact/hooks';
import type { PassJournal } from '#core/messages/api-pass-journal';
import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';

/** What the rig lacked when this pass began, by what had been entered until then; nothing where it was ready. */
export function PassReadiness({ passId }: { readonly passId: string }) {
  const { api } = useApp();
  const j = text.value.joints;
  const [found, setFound] = useState<PassJournal['readiness'] | 'unknown' | null>(null);
  useEffect(() => {
    api.get<PassJournal>(['passes', passId, 'journal']).then(
      journal => setFound(journal.readiness),
      () => setFound('unknown'),
    );
  }, [api, passId]);
  if (found === null) return null;
  if (found === 'unknown') return <p class="hint">{j.readinessUnknown}</p>;
  if (found.ready) return null;
  const lacked = found.findings.map(finding => finding.text).join(' ');
  return (
    <details class="pass-readiness">
      <summary>{j.notReadyThen(found.findings.length)}</summary>
      <p>{lacked}</p>
    </details>
  );
}
