import type { Debrief } from '#core/messages/api-training';
import { format, text } from '../../text/text.ts';
import { ReplayLink } from './replay-link.tsx';
import { actionWords, channelWords, whereWords } from './training-words.ts';

/** Marks that answered no stretch, each with what it was. */
export function StrayMarks({ debrief: { session, score } }: { readonly debrief: Debrief }) {
  const t = text.value.training;
  const d = t.debrief;
  const strays = session.marks.flatMap(mark => {
    const is = score.falseAlarms.includes(mark.id)
      ? ('falseAlarm' as const)
      : score.wrongSide.includes(mark.id)
        ? ('wrongSide' as const)
        : score.repeats.includes(mark.id)
          ? ('repeat' as const)
          : null;
    return is === null ? [] : [{ mark, is }];
  });
  if (strays.length === 0) return null;
  return (
    <section aria-label={d.straysTitle}>
      <h2>{d.straysTitle}</h2>
      <ul class="training-lines">
        {strays.map(({ mark, is }) => {
          const words = t.marks.line(whereWords(mark), channelWords(mark.channel), actionWords(mark.action));
          return (
            <li key={mark.id} data-stray={is}>
              <span class="hint">{format().timeOfDay(Date.parse(mark.at))}</span>{' '}
              <strong class="score-word">{d.strays[is]}</strong> {words}{' '}
              <ReplayLink sessionId={session.id} rig={mark.rig} at={mark.at} what={words} />
            </li>
          );
        })}
      </ul>
    </section>
  );
}
