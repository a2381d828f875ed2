import type { CheckName } from '#core/journal/rig-entries';
import { text } from '../../text/text.ts';

const KIND = {
  travel: 'travel',
  wireFeed: 'wireFeed',
  arcVoltage: 'electrical',
  weldingCurrent: 'electrical',
  gasFlow: 'gasFlow',
  temperature: 'temperature',
  clock: 'clock',
} as const satisfies Record<CheckName, string>;

/** What can hurt someone in this check, before anything is started. */
export function CautionBox({ check }: { readonly check: CheckName }) {
  const t = text.value.verify;
  const lines = t.caution[KIND[check]];
  return (
    <section class="caution-box" aria-labelledby="caution-title">
      <h2 id="caution-title">
        <span aria-hidden="true">▲</span> {t.caution.title}
      </h2>
      {lines.length > 0 && (
        <ul>
          {lines.map(line => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      <p>{t.monitoring}</p>
    </section>
  );
}
