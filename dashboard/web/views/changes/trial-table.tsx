import type { CallCounts, Trial } from '#core/messages/api-watch';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';

const sum = (counts: CallCounts): number => Object.values(counts).reduce((total, one) => total + one, 0);
const total = (all: readonly CallCounts[]): number => all.reduce((n, counts) => n + sum(counts), 0);

/** The last passes as they were called, beside how they would be. */
export function TrialTable({ trial }: { readonly trial: Trial }) {
  const t = text.value;
  const s = t.changes.settings;
  const { passes, notes } = trial;
  const words = ({ outOfRange, drifting, projected, pattern }: CallCounts): string =>
    s.counts(outOfRange, drifting, projected, pattern);
  const before = total(passes.map(({ recorded }) => recorded));
  const now = total(passes.map(({ tried }) => tried));
  return (
    <section class="trial" aria-label={s.tried}>
      <h2>{s.tried}</h2>
      <p>{passes.length === 0 ? s.triedNone : s.triedSum(passes.length, before, now)}</p>
      {notes.map(note => (
        <p key={note} class="hint">
          {note}
        </p>
      ))}
      {passes.length > 0 && (
        <table class="plain-table">
          <thead>
            <tr>
              <th scope="col">{s.columns.pass}</th>
              <th scope="col">{s.columns.recorded}</th>
              <th scope="col">{s.columns.tried}</th>
            </tr>
          </thead>
          <tbody>
            {passes.map(({ passId, joint, side, pass, rig, startUtc, recorded, tried, origin }) => (
              <tr key={passId} data-changed={sum(recorded) !== sum(tried)}>
                <th scope="row">
                  <bdi>{t.changes.calls.where(joint, side, pass)}</bdi>{' '}
                  <span class="hint">
                    {rig}, {whenText(startUtc)}
                    {origin === 'real' ? '' : `, ${t.origin[origin]}`}
                  </span>
                </th>
                <td data-label={s.columns.recorded}>{words(recorded)}</td>
                <td data-label={s.columns.tried}>{words(tried)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
