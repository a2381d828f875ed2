import type { LooksLike } from '#core/messages/drift';
import { useApp } from '../../app-context.ts';
import type { SideView } from '../../data/side-view.ts';
import { said } from '../../text/said.ts';
import { text } from '../../text/text.ts';
import { driftWord, driftWords, Slope, trimWords } from '../live/drift-message.tsx';

interface DriftPanelProps {
  readonly view: SideView;
  readonly diameterMm: number | null;
}

/** What changes along this weld now, what each looks like, and what speaks for and against that. */
export function DriftPanel({ view, diameterMm }: DriftPanelProps) {
  const { trims } = useApp();
  const t = text.value;
  const d = t.alarms.drifting;
  const made = trims.of(view.key, view.pass?.index ?? null);
  return (
    <section class="drift-panel" aria-label={d.title}>
      <h2>{d.title}</h2>
      {view.drifting.length === 0 && <p>{d.none}</p>}
      {view.drifting.map(drift => (
        <div key={drift.number} class="drift-call">
          <p class="message drift">
            <Slope direction={drift.direction} /> <strong>{driftWord(t, drift)}</strong>{' '}
            {driftWords(t, drift, view, diameterMm)}.
          </p>
          {drift.looksLike.length === 0 ? (
            <p>{d.noCause}</p>
          ) : (
            drift.looksLike.map(like => <Candidate key={like.cause} like={like} />)
          )}
        </div>
      ))}
      {view.drifting.length > 0 && <p class="note">{d.verdict}</p>}
      {made.length > 0 && (
        <>
          <ul class="trims">
            {made.map(trim => (
              <li key={`${trim.tUs} ${trim.quantity}`}>{trimWords(t, trim)}</li>
            ))}
          </ul>
          <p class="note">{d.trimNote}</p>
        </>
      )}
    </section>
  );
}

function Candidate({ like }: { readonly like: LooksLike }) {
  const d = text.value.alarms.drifting;
  return (
    <div class="candidate">
      <h3>{d.looksLike(said(like.cause))}</h3>
      <p>{said(like.text)}</p>
      <p>
        <strong>{d.speaksFor}:</strong> {like.speaksFor.map(said).join('; ') || d.nothing}.{' '}
        <strong>{d.speaksAgainst}:</strong> {like.speaksAgainst.map(said).join('; ') || d.nothing}.
      </p>
    </div>
  );
}
