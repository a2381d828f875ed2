import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { useApp } from '../../app-context.ts';
import { levelRange } from '../../charts/level-geometry.ts';
import { StepLines } from '../../charts/step-lines.tsx';
import { More } from '../../parts/more.tsx';
import { displays, format, text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { besideRows, besideSeries } from './beside-series.ts';
import type { WindowName } from './window-names.ts';

interface BesideLinesProps {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly beside: readonly string[];
  readonly quantity: WindowName;
}

/** One line a joint over the same places, and the same as a table. */
export function BesideLines({ review, pass, beside, quantity }: BesideLinesProps) {
  const { api } = useApp();
  const t = text.value;
  const b = t.review.beside;
  const { fixed, measure, units, value: shown } = format();
  const display = displays()[quantity]!;
  const { value: others, failure } = useRead(`beside ${beside.join(' ')} ${review.origin}`, () =>
    Promise.all(
      beside.map(joint => api.get<JointReview>(['joints', joint, 'review'], { origin: review.origin })),
    ),
  );
  if (failure !== null)
    return (
      <p class="message nodata" role="alert">
        {b.failed(failure)}
      </p>
    );
  if (others === null) return <p>{b.loading}</p>;
  const series = besideSeries(review, pass, others, quantity).map(({ name, steps }) => ({
    name,
    steps: steps.map(step => ({ ...step, value: display.shown(step.value) })),
  }));
  const drawn = series.filter(({ steps }) => steps.length > 0);
  const missing = series.slice(1).filter(({ steps }) => steps.length === 0);
  const steps = drawn.flatMap(one => one.steps);
  if (steps.length === 0) return <p>{t.review.rows.none}</p>;
  const range = levelRange(
    steps.map(({ value }) => value),
    null,
  );
  const name = t.changes.quantity[quantity] ?? quantity;
  return (
    <>
      <StepLines
        series={drawn}
        label={b.label(name)}
        top={`${fixed(range.high, display.decimals)} ${display.unit}`}
        bottom={`${fixed(range.low, display.decimals)} ${display.unit}`}
        left={measure('length', Math.min(...steps.map(step => step.from)))}
        right={measure('length', Math.max(...steps.map(step => step.to)))}
        low={range.low}
        high={range.high}
      />
      {missing.map(one => (
        <p key={one.name} class="hint">
          {one.name}: {b.none}
        </p>
      ))}
      <More label={b.table} open={false} class="window-rows">
        <table class="plain-table">
          <caption class="sr-only">{b.label(name)}</caption>
          <thead>
            <tr>
              <th scope="col">{units.length.unit}</th>
              {drawn.map(one => (
                <th key={one.name} scope="col">
                  <bdi>{one.name}</bdi>, {display.unit}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {besideRows(drawn).map(({ from, to, values }) => (
              <tr key={from}>
                <th scope="row">{t.review.rows.span(shown('length', from), shown('length', to))}</th>
                {values.map((value, i) => (
                  <td key={drawn[i]!.name} data-label={drawn[i]!.name}>
                    {fixed(value, display.decimals)}
                  </td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </More>
    </>
  );
}
