import type { Debrief } from '#core/messages/api-training';
import type { WindowScore } from '#core/training/session';
import { format, text } from '../../text/text.ts';
import { ReplayLink } from './replay-link.tsx';
import { faultWords, rightWords, stretchWords, whereWords } from './training-words.ts';

/** Each stretch that was wrong or only looked so, and what became of it. */
export function WindowScores({ debrief: { session, score } }: { readonly debrief: Debrief }) {
  const t = text.value.training;
  const d = t.debrief;
  const { fixed } = format();
  const results = new Map(score.windows.map(one => [one.windowId, one]));
  if (session.truth.length === 0) {
    return (
      <section aria-label={d.windowsTitle}>
        <h2>{d.windowsTitle}</h2>
        <p>{d.windowsNone}</p>
      </section>
    );
  }
  return (
    <section aria-label={d.windowsTitle}>
      <h2>{d.windowsTitle}</h2>
      <table class="plain-table window-scores">
        <thead>
          <tr>
            <th scope="col">{d.columns.what}</th>
            <th scope="col">{d.columns.where}</th>
            <th scope="col">{d.columns.result}</th>
            <th scope="col">{d.columns.seconds}</th>
            <th scope="col">{d.columns.weld}</th>
            <th scope="col">{d.columns.named}</th>
            <th scope="col">{d.columns.see}</th>
          </tr>
        </thead>
        <tbody>
          {session.truth.map(window => {
            const one = results.get(window.id);
            return (
              <tr key={window.id} data-result={one?.result ?? 'none'}>
                <th scope="row">
                  {faultWords(window)}{' '}
                  <span class="hint">
                    {t.truth.kind[window.kind]}; {d.rightAnswer(rightWords(window))}
                  </span>
                </th>
                <td data-label={d.columns.where}>
                  {whereWords(window)}, {t.truth.place(window.joint, window.pass)}, {stretchWords(window)}
                </td>
                <td data-label={d.columns.result}>
                  {one !== undefined && <strong class="score-word">{d.result[one.result]}</strong>}
                </td>
                <td data-label={d.columns.seconds}>
                  {one?.seconds == null ? '' : d.seconds(fixed(one.seconds, 0))}
                </td>
                <td data-label={d.columns.weld}>
                  {one?.weldMm == null ? '' : format().measure('length', one.weldMm)}
                </td>
                <td data-label={d.columns.named}>{one === undefined ? '' : namedWords(one)}</td>
                <td data-label={d.columns.see}>
                  {window.beganUtc !== null && (
                    <ReplayLink
                      sessionId={session.id}
                      rig={window.rig}
                      at={window.beganUtc}
                      what={`${faultWords(window)}, ${whereWords(window)}`}
                    />
                  )}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}

function namedWords({ markId, rightChannel, rightAction }: WindowScore): string {
  const t = text.value.training.debrief;
  if (markId === null) return '';
  const word = (right: boolean | null): string => (right === null ? t.unsaid : right ? t.right : t.wrong);
  return t.named(word(rightChannel), word(rightAction));
}
