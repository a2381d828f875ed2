import { useState } from 'preact/hooks';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { format, text } from '../../text/text.ts';
import type { People } from '../verify/use-people.ts';
import { EntryEnd } from './entry-end.tsx';
import { FindingLine } from './finding-line.tsx';
import { LongField } from './long-field.tsx';
import type { ReviewRoute } from './review-route.ts';
import { useEntry } from './use-entry.ts';

interface NoteListProps {
  readonly review: JointReview;
  readonly pass: ReviewPass | null;
  readonly route: ReviewRoute;
  readonly people: People;
}

/** Notes on the joint and its passes; they are only ever added. */
export function NoteList({ review, pass, route, people }: NoteListProps) {
  const t = text.value.review.note;
  const [entering, setEntering] = useState(false);
  return (
    <section>
      <h2>{t.title}</h2>
      {review.annotations.length === 0 && <p>{t.none}</p>}
      {review.annotations.map(entry => (
        <FindingLine key={entry.id} entry={entry} nameOf={people.nameOf} />
      ))}
      {entering ? (
        <NoteForm review={review} pass={pass} route={route} people={people} done={() => setEntering(false)} />
      ) : (
        <p class="form-actions">
          <button type="button" onClick={() => setEntering(true)}>
            {t.add}
          </button>
        </p>
      )}
    </section>
  );
}

function NoteForm({ review, pass, route, people, done }: NoteListProps & { readonly done: () => void }) {
  const t = text.value.review.note;
  const { measure, value } = format();
  const desk = useEntry(people, done);
  const [words, setWords] = useState('');
  const { fromMm, toMm } = route;
  return (
    <form
      class="form-sheet"
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void desk.send(
          words.trim() === ''
            ? null
            : {
                kind: 'annotation',
                joint: review.joint,
                passId: pass?.message.passId ?? null,
                fromMm,
                toMm,
                text: words.trim(),
              },
        );
      }}
    >
      {fromMm !== null && toMm !== null && <p>{t.about(value('length', fromMm), measure('length', toMm))}</p>}
      <LongField
        id="note-text"
        label={t.text}
        value={words}
        max={1000}
        error={desk.tried && words.trim() === '' ? t.missing.text : null}
        type={setWords}
      />
      <EntryEnd id="note" desk={desk} people={people} save={t.save} cancel={done} />
    </form>
  );
}
