import { useState } from 'preact/hooks';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import type { OverJoints } from '#core/messages/api-watch';
import { useApp } from '../../app-context.ts';
import { levelRange } from '../../charts/level-geometry.ts';
import { StepLines } from '../../charts/step-lines.tsx';
import { QUANTITY_DISPLAY } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { MOST_BESIDE, type ReviewRoute } from './review-route.ts';
import { WINDOW_NAMES, type WindowName } from './window-names.ts';

interface BesideJointsProps {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly route: ReviewRoute;
}

/** The same pass of the same side on up to three other joints. */
export function BesideJoints({ review, pass, route }: BesideJointsProps) {
  const { api, go } = useApp();
  const t = text.value;
  const b = t.review.beside;
  const { procedureId } = pass.message;
  const { side, pass: name } = pass.work;
  const [picked, setPicked] = useState('');
  const [quantity, setQuantity] = useState<WindowName>('weldingCurrent');
  const { value: over } = useRead(`over ${procedureId} ${name} ${review.origin}`, async () =>
    procedureId === null || name === null
      ? null
      : api.get<OverJoints>(['over-joints'], {
          procedureId,
          pass: name,
          origin: review.origin,
          limit: '200',
        }),
  );
  const others = [...new Set((over?.passes ?? []).filter(one => one.side === side).map(one => one.joint))]
    .filter(joint => joint !== review.joint && !route.beside.includes(joint))
    .toReversed();
  const add = (joint: string): void => {
    if (joint !== '') go({ ...route, beside: [...route.beside, joint] });
    setPicked('');
  };
  return (
    <section class="beside-joints">
      <h2>{b.title}</h2>
      <p>{b.intro}</p>
      <div class="form-sheet beside-pick">
        {route.beside.length < MOST_BESIDE && others.length > 0 && (
          <div class="field">
            <label for="beside-joint">{b.pick}</label>
            <select id="beside-joint" value={picked} onChange={event => setPicked(event.currentTarget.value)}>
              <option value="" />
              {others.map(joint => (
                <option key={joint} value={joint}>
                  {joint}
                </option>
              ))}
            </select>
            <button type="button" onClick={() => add(picked)}>
              {b.add}
            </button>
          </div>
        )}
        {route.beside.map(joint => (
          <button
            key={joint}
            type="button"
            onClick={() => go({ ...route, beside: route.beside.filter(one => one !== joint) })}
          >
            {b.remove(joint)}
          </button>
        ))}
        {route.beside.length > 0 && (
          <div class="field">
            <label for="beside-quantity">{b.what}</label>
            <select
              id="beside-quantity"
              value={quantity}
              onChange={event => setQuantity(event.currentTarget.value as WindowName)}
            >
              {WINDOW_NAMES.map(one => (
                <option key={one} value={one}>
                  {t.changes.quantity[one]}
                </option>
              ))}
            </select>
          </div>
        )}
      </div>
      {route.beside.length > 0 && (
        <Lines review={review} pass={pass} beside={route.beside} quantity={quantity} />
      )}
    </section>
  );
}

interface LinesProps {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly beside: readonly string[];
  readonly quantity: WindowName;
}

function Lines({ review, pass, beside, quantity }: LinesProps) {
  const { api } = useApp();
  const t = text.value;
  const { fixed } = format();
  const display = QUANTITY_DISPLAY[quantity]!;
  const { value: others } = useRead(`beside ${beside.join(' ')}`, () =>
    Promise.all(beside.map(joint => api.get<JointReview>(['joints', joint, 'review']))),
  );
  const stepsOf = ({ windows }: ReviewPass) =>
    windows.flatMap(({ fromMm, toMm, values }) => {
      const stored = values[quantity];
      if (fromMm === null || toMm === null || stored === null) return [];
      return [{ from: fromMm, to: toMm, value: display.shown(stored) }];
    });
  const series = [
    { name: review.joint, steps: stepsOf(pass) },
    ...(others ?? []).map(other => {
      const same = other.passes.filter(
        ({ work }) => work.side === pass.work.side && work.pass === pass.work.pass,
      );
      return { name: other.joint, steps: same.flatMap(stepsOf) };
    }),
  ];
  const drawn = series.filter(({ steps }) => steps.length > 0);
  const missing = series.slice(1).filter(({ steps }) => steps.length === 0);
  const values = drawn.flatMap(({ steps }) => steps.map(({ value }) => value));
  if (values.length === 0) return <p>{t.review.rows.none}</p>;
  const range = levelRange(values, null);
  return (
    <>
      <StepLines
        series={drawn}
        label={t.review.beside.label(t.changes.quantity[quantity] ?? quantity)}
        top={`${fixed(range.high, display.decimals)} ${display.unit}`}
        bottom={`${fixed(range.low, display.decimals)} ${display.unit}`}
        low={range.low}
        high={range.high}
      />
      {others !== null &&
        missing.map(({ name }) => (
          <p key={name} class="hint">
            {name}: {t.review.beside.none}
          </p>
        ))}
    </>
  );
}
