import { useState } from 'preact/hooks';
import type { ReviewIndication } from '#core/messages/api-review';
import { Pick } from '../../parts/pick.tsx';
import { text } from '../../text/text.ts';
import type { People } from '../verify/use-people.ts';
import { EntryEnd } from './entry-end.tsx';
import { LongField } from './long-field.tsx';
import { useEntry } from './use-entry.ts';

const CORRELATIONS = ['found', 'none', 'notClear'] as const;

interface FindingFormProps {
  readonly joint: string;
  readonly indication: ReviewIndication;
  readonly people: People;
  readonly done: () => void;
}

/** A reviewer's finding about one indication; nothing is proposed, and "no correlation found" is an answer. */
export function FindingForm({ joint, indication, people, done }: FindingFormProps) {
  const t = text.value.review;
  const desk = useEntry(people, done);
  const [correlation, setCorrelation] = useState('');
  const [words, setWords] = useState('');
  const { scanEntryId, label } = indication;
  const picked = CORRELATIONS.find(one => one === correlation);
  const id = `finding-${label}`;
  return (
    <form
      class="form-sheet"
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void desk.send(
          picked === undefined || words.trim() === ''
            ? null
            : {
                kind: 'reviewFinding',
                joint,
                indication: { scanEntryId, label },
                correlation: picked,
                text: words.trim(),
              },
        );
      }}
    >
      <h4>{t.finding.title(label)}</h4>
      <Pick
        name={`${id}-correlation`}
        legend={t.finding.correlation}
        options={CORRELATIONS.map(value => ({ value, label: t.calls.correlation[value] }))}
        value={correlation}
        error={desk.tried && picked === undefined ? t.finding.missing.correlation : null}
        pick={setCorrelation}
      />
      <LongField
        id={`${id}-text`}
        label={t.finding.text}
        value={words}
        max={2000}
        error={desk.tried && words.trim() === '' ? t.finding.missing.text : null}
        type={setWords}
      />
      <EntryEnd id={id} desk={desk} people={people} save={t.finding.save} cancel={done} />
    </form>
  );
}
