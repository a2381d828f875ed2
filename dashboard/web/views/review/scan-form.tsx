import { useState } from 'preact/hooks';
import type { Indication } from '#core/indication/indication';
import { useApp } from '../../app-context.ts';
import { wallMoment } from '../../parts/local-date-time.ts';
import { Pick } from '../../parts/pick.tsx';
import { format, text } from '../../text/text.ts';
import { storedText, typedNumber, typedStored } from '../../text/typed-number.ts';
import { sentenceOf } from '../changes/use-read.ts';
import { FileButton } from '../procedures/file-button.tsx';
import { TypedField } from '../verify/fields.tsx';
import type { People } from '../verify/use-people.ts';
import { EntryEnd } from './entry-end.tsx';
import { LongField } from './long-field.tsx';
import { useEntry } from './use-entry.ts';

interface ScanFormProps {
  readonly joint: string;
  readonly people: People;
  readonly done: () => void;
}

/** Where the zero of band, scribe and scanner usually differ, ± mm (common practice, no source). */
const USUAL_UNCERTAINTY_MM = 20;
const MOST_UNCERTAINTY_MM = 200;
const ROWS_LIMIT = 60_000;

/** A scan as its report gives it: its own zero, sense and diameter, and its indications by table. */
export function ScanForm({ joint, people, done }: ScanFormProps) {
  const { api } = useApp();
  const t = text.value.review.scan;
  const desk = useEntry(people, done);
  const [typed, setTyped] = useState({
    reference: '',
    technique: '',
    takenAt: '',
    zero: '0',
    sense: 'clockwise',
    diameter: '',
    uncertainty: storedText('length', USUAL_UNCERTAINTY_MM),
    rows: '',
  });
  const [tableProblem, setTableProblem] = useState<string | null>(null);
  const type = (key: keyof typeof typed) => (value: string) => {
    setTyped(now => ({ ...now, [key]: value }));
    if (key === 'rows') setTableProblem(null);
  };
  const takenAt = wallMoment(typed.takenAt);
  const zero = typedNumber(typed.zero);
  const uncertainty = typedStored('length', typed.uncertainty);
  const diameter = typed.diameter.trim() === '' ? null : typedStored('size', typed.diameter);
  const wrong = {
    reference: typed.reference.trim() === '',
    technique: typed.technique.trim() === '',
    takenAt: takenAt === null,
    zero: zero === null || zero < 0 || zero >= 360,
    uncertainty: uncertainty === null || uncertainty < 0 || uncertainty > MOST_UNCERTAINTY_MM,
    diameter: typed.diameter.trim() !== '' && (diameter === null || diameter <= 0),
  };
  const { units, measure } = format();
  const sentences = {
    ...t.missing,
    uncertainty: t.missing.uncertainty(measure('length', MOST_UNCERTAINTY_MM)),
  };
  const error = (key: keyof typeof wrong): string | null =>
    desk.tried && wrong[key] ? sentences[key] : null;

  async function save(): Promise<void> {
    let indications: Indication[] = [];
    if (typed.rows.trim() !== '') {
      const csv = /position/i.test(typed.rows.split('\n', 1)[0]!) ? typed.rows : `${t.head}\n${typed.rows}`;
      try {
        ({ indications } = await api.post<{ indications: Indication[] }>(['indication-table'], { csv }));
      } catch (refused) {
        setTableProblem(sentenceOf(refused));
        return;
      }
    }
    if (Object.values(wrong).includes(true)) return void (await desk.send(null));
    await desk.send({
      kind: 'scanReport',
      joint,
      reference: typed.reference.trim(),
      technique: typed.technique.trim(),
      takenAt: new Date(takenAt!).toISOString(),
      frame: {
        zeroDegrees: zero!,
        sense: typed.sense === 'clockwise' ? 'clockwise' : 'counterClockwise',
        referenceDiameterMm: diameter,
        zeroUncertaintyMm: uncertainty!,
      },
      indications,
    });
  }

  const c = text.value.review.calls;
  return (
    <form
      class="form-sheet"
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void save();
      }}
    >
      <h3>{t.title}</h3>
      <p>{t.intro}</p>
      <TypedField
        id="scan-reference"
        label={t.reference}
        kind="text"
        max={80}
        value={typed.reference}
        error={error('reference')}
        type={type('reference')}
      />
      <TypedField
        id="scan-technique"
        label={t.technique}
        kind="text"
        max={80}
        value={typed.technique}
        error={error('technique')}
        type={type('technique')}
      />
      <TypedField
        id="scan-taken"
        label={t.takenAt}
        kind="datetime-local"
        value={typed.takenAt}
        error={error('takenAt')}
        type={type('takenAt')}
      />
      <TypedField
        id="scan-zero"
        label={t.zero}
        value={typed.zero}
        error={error('zero')}
        type={type('zero')}
      />
      <Pick
        name="scan-sense"
        legend={t.sense}
        options={[
          { value: 'clockwise', label: c.clockwise },
          { value: 'counterClockwise', label: c.counterClockwise },
        ]}
        value={typed.sense}
        error={null}
        pick={type('sense')}
      />
      <TypedField
        id="scan-diameter"
        label={t.diameter(units.size.unit)}
        value={typed.diameter}
        error={error('diameter')}
        type={type('diameter')}
      />
      <TypedField
        id="scan-uncertainty"
        label={t.uncertainty(units.length.unit)}
        value={typed.uncertainty}
        error={error('uncertainty')}
        type={type('uncertainty')}
      />
      <LongField
        id="scan-rows"
        label={t.rows}
        hint={t.rowsHint}
        value={typed.rows}
        max={ROWS_LIMIT}
        rows={6}
        error={tableProblem}
        type={type('rows')}
      />
      <p>
        <FileButton
          label={t.file}
          accept=".csv,text/csv"
          take={content => type('rows')(content)}
          refuse={() => setTableProblem(t.tooLarge)}
        />
      </p>
      <EntryEnd id="scan" desk={desk} people={people} save={t.save} cancel={done} />
    </form>
  );
}
