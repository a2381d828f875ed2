import type { OverJoints } from '#core/messages/api-watch';
import type { ShownUnit } from '#core/units/shown-units';
import { LevelChart } from '../../charts/level-chart.tsx';
import { levelRange } from '../../charts/level-geometry.ts';
import { More } from '../../parts/more.tsx';
import { whenText } from '../../parts/when-text.ts';
import { displays, format, text } from '../../text/text.ts';
import { jointUrl } from '../joints/joint-routes.ts';
import { type LevelRow, levelRows } from './level-rows.ts';
import type { OverQuantity } from './over-quantities.ts';

interface RigLevelsProps {
  readonly passes: OverJoints['passes'];
  readonly quantity: Exclude<OverQuantity, 'closure'>;
}

/** The scale is never shorter than so many of the last digit shown: else both its ends read the same. */
const SHOWN_STEPS = 10;

/** One chart for each rig and side, all on one scale, so that rigs can be told apart at a glance. */
export function RigLevels({ passes, quantity }: RigLevelsProps) {
  const t = text.value.changes.over;
  const display = displays()[quantity] ?? format().units.length;
  const rows = levelRows(passes, quantity, display.shown);
  const values = rows.flatMap(row => row.values.map(({ value }) => value));
  const ends = rows.flatMap(({ limits }) => (limits === null ? [] : [limits.lower, limits.upper]));
  if (values.length === 0) return <p>{t.unknown(passes.length)}</p>;
  const range = levelRange([...values, ...ends], null, SHOWN_STEPS * 10 ** -display.decimals);
  return (
    <>
      {rows.map(row => (
        <RigLevel key={`${row.rig} ${row.side}`} row={row} range={range} display={display} />
      ))}
    </>
  );
}

interface RigLevelProps {
  readonly row: LevelRow;
  readonly range: { readonly low: number; readonly high: number };
  readonly display: ShownUnit;
}

function RigLevel({ row, range, display }: RigLevelProps) {
  const t = text.value.changes.over;
  const { fixed } = format();
  const shown = (value: number): string => fixed(value, display.decimals);
  const { rig, side, values, limits, unknown } = row;
  const outside = values.filter(one => one.outside).length;
  const name = t.rigSide(rig, side);
  const usual =
    limits === null
      ? t.tooFew(values.length)
      : t.limits(shown(limits.centre), shown(limits.lower), shown(limits.upper), display.unit);
  return (
    <section class="level-row" aria-label={name}>
      <h2>{name}</h2>
      <p>
        {usual}
        {outside > 0 && (
          <>
            . <strong class="level-outside">{t.outside(outside)}</strong>
          </>
        )}
        {unknown > 0 && <span class="hint"> {t.unknown(unknown)}</span>}
      </p>
      {values.length > 0 && (
        <LevelChart
          points={values}
          lines={limits}
          range={range}
          label={`${name}: ${usual}${outside > 0 ? `. ${t.outside(outside)}` : ''}`}
          top={`${shown(range.high)} ${display.unit}`}
          bottom={`${shown(range.low)} ${display.unit}`}
        />
      )}
      <More label={t.table} open={false}>
        <table class="plain-table">
          <thead>
            <tr>
              <th scope="col">{t.columns.joint}</th>
              <th scope="col">{t.columns.when}</th>
              <th scope="col">{t.columns.value}</th>
              <th scope="col">{t.columns.note}</th>
            </tr>
          </thead>
          <tbody>
            {values.toReversed().map(({ pass, value, outside: isOut }) => (
              <tr key={pass.passId}>
                <th scope="row">
                  <a href={jointUrl(pass.joint)}>{pass.joint}</a>
                </th>
                <td data-label={t.columns.when}>{whenText(pass.startUtc)}</td>
                <td data-label={t.columns.value}>
                  {shown(value)} {display.unit}
                </td>
                <td data-label={t.columns.note}>{isOut ? `■ ${t.beyond}` : ''}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </More>
    </section>
  );
}
