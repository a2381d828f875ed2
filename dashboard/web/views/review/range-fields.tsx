import { useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import { Pick } from '../../parts/pick.tsx';
import { format, text } from '../../text/text.ts';
import { storedText, typedStored } from '../../text/typed-number.ts';
import { TypedField } from '../verify/fields.tsx';
import { type ReviewRoute, reviewUrl } from './review-route.ts';

interface RangeFieldsProps {
  readonly route: ReviewRoute;
  readonly stretch: { readonly fromMm: number; readonly toMm: number };
}

/** Which stretch is looked at, and along what. It stands in the address, which is replaced: back leaves the page. */
export function RangeFields({ route, stretch }: RangeFieldsProps) {
  const { replace } = useApp();
  const t = text.value.review.pass;
  const { unit } = format().units.length;
  const [typed, setTyped] = useState<Partial<Record<'fromMm' | 'toMm', string>>>({});
  const field = (key: 'fromMm' | 'toMm', id: string, label: string) => {
    const words = typed[key];
    const number = words === undefined || words.trim() === '' ? null : typedStored('length', words);
    const isWrong = words !== undefined && words.trim() !== '' && number === null;
    // What was typed stays as typed, until the address says something else: a link, or back.
    const isMine = words !== undefined && (isWrong || number === route[key]);
    return (
      <TypedField
        id={id}
        label={label}
        value={isMine ? words : storedText('length', Math.round(stretch[key]))}
        error={isWrong ? t.notNumber : null}
        type={value => {
          setTyped(now => ({ ...now, [key]: value }));
          const mm = value.trim() === '' ? null : typedStored('length', value);
          if (value.trim() === '' || mm !== null) replace({ ...route, [key]: mm });
        }}
      />
    );
  };
  return (
    <div class="form-sheet inspector-range">
      {field('fromMm', 'review-from', t.from(unit))}
      {field('toMm', 'review-to', t.to(unit))}
      <a class="button" href={reviewUrl({ ...route, fromMm: null, toMm: null })} onClick={() => setTyped({})}>
        {t.whole}
      </a>
      <Pick
        name="review-axis"
        legend={t.axis}
        options={[
          { value: 'mm', label: t.axisLength },
          { value: 's', label: t.axisS },
        ]}
        value={route.axis}
        error={null}
        pick={value => replace({ ...route, axis: value === 's' ? 's' : 'mm' })}
      />
    </div>
  );
}
