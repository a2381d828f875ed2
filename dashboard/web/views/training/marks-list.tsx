import type { SessionView } from '#core/messages/api-training';
import { type MarkMeaning, matchMarks, placedWindows } from '#core/training/match-marks';
import { runningTime } from '#core/training/running-time';
import { format, text } from '../../text/text.ts';
import { actionWords, channelWords, whereWords } from './training-words.ts';

/** What each mark means against the truth as far as it is known now, by the rules of the score. */
function meanings({ truth, marks, pauses }: SessionView): ReadonlyMap<string, MarkMeaning> {
  const timeOf = runningTime(pauses);
  const placed = marks.map(mark => ({ mark, atS: timeOf(mark.at) }));
  return matchMarks(placedWindows(truth ?? [], timeOf), placed).meanings;
}

/** The trainee's marks as they come, newest first. */
export function MarksList({ session }: { readonly session: SessionView }) {
  const t = text.value.training.marks;
  const meaning = meanings(session);
  return (
    <section aria-label={t.title}>
      <h2>{t.title}</h2>
      {session.marks.length === 0 && <p class="hint">{t.none}</p>}
      <ul class="training-lines" aria-live="polite">
        {session.marks.toReversed().map(mark => {
          const means = meaning.get(mark.id);
          return (
            <li key={mark.id} data-meaning={means}>
              <span class="hint">{format().timeOfDay(Date.parse(mark.at))}</span>{' '}
              <strong>
                {t.line(whereWords(mark), channelWords(mark.channel), actionWords(mark.action))}
              </strong>
              {means !== undefined && ` – ${t.meaning[means]}`}
            </li>
          );
        })}
      </ul>
    </section>
  );
}
