import { eventWords } from '#core/journal/event-words';
import { whenText } from '../../parts/when-text.ts';
import { text } from '../../text/text.ts';
import type { RigEventEntry } from './event-form.ts';

interface EventListProps {
  readonly events: readonly RigEventEntry[];
  readonly nameOf: (id: string) => string;
  /** Where an entry is corrected; null where it is not offered. */
  readonly correctUrl: ((id: string) => string) | null;
}

/** Events as entered, newest first; what was corrected stays, struck through, with who and why. */
export function EventList({ events, nameOf, correctUrl }: EventListProps) {
  const t = text.value.rigEvents;
  return (
    <ul class="entry-list">
      {events.map(entry => {
        const correction = events.find(({ corrects }) => corrects === entry.id) ?? null;
        const words = eventWords(entry);
        const line = [
          t.names[entry.body.event],
          ...(entry.body.lot === undefined ? [] : [t.lotIs(entry.body.lot)]),
          ...(words === null ? [] : [words]),
        ].join(' · ');
        return (
          <li key={entry.id} data-corrected={correction !== null}>
            <div>
              <strong>{whenText(entry.body.happenedAt)}</strong>{' '}
              {correction === null ? <bdi>{line}</bdi> : <s>{line}</s>}{' '}
              <span class="by">{nameOf(entry.author)}</span>
              {correction !== null && (
                <p class="hint">{t.corrected(nameOf(correction.author), correction.reason ?? '')}</p>
              )}
            </div>
            {correction === null && correctUrl !== null && (
              <a class="button" href={correctUrl(entry.id)}>
                {t.correct}
                <span class="sr-only">
                  {' '}
                  {t.correctsOf(t.names[entry.body.event], whenText(entry.body.happenedAt))}
                </span>
              </a>
            )}
          </li>
        );
      })}
    </ul>
  );
}
