import type { OverJoints } from '#core/messages/api-watch';
import { LevelChart } from '../../charts/level-chart.tsx';
import { levelRange } from '../../charts/level-geometry.ts';
import { whenText } from '../../parts/when-text.ts';
import { said } from '../../text/said.ts';
import { format, text } from '../../text/text.ts';
import { jointUrl } from '../joints/joint-routes.ts';

type Closures = OverJoints['closures'];

/** How far both sides of each joint missed or passed each other; zero is where they should meet. */
export function ClosureLevels({ closures }: { readonly closures: Closures }) {
  const t = text.value.changes.over;
  const { measure } = format();
  const known = closures.flatMap(one => (one.errorMm === null ? [] : [{ ...one, value: one.errorMm }]));
  const range = levelRange([0, ...known.map(({ value }) => value)], null);
  const suspects = known.filter(({ finding }) => finding === 'suspect').length;
  return (
    <section class="level-row" aria-label={t.closureTitle}>
      <h2>{t.closureTitle}</h2>
      <p>{t.closureIntro}</p>
      {known.length === 0 && <p>{t.closureNone}</p>}
      {known.length > 0 && (
        <LevelChart
          points={known.map(({ joint, value, finding }) => ({
            key: joint,
            value,
            outside: finding === 'look' || finding === 'suspect',
          }))}
          lines={{ centre: 0, lower: 0, upper: 0 }}
          range={range}
          label={`${t.closureTitle}: ${known.length}, ${suspects} ${t.finding.suspect}`}
          top={measure('length', range.high)}
          bottom={measure('length', range.low)}
        />
      )}
      {closures.length > 0 && (
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
            {closures.toReversed().map(one => (
              <tr key={one.joint}>
                <th scope="row">
                  <a href={jointUrl(one.joint)}>{one.joint}</a>{' '}
                  <span class="hint">{one.rigs.join(', ')}</span>
                </th>
                <td data-label={t.columns.when}>{whenText(one.atUtc)}</td>
                <td data-label={t.columns.value}>{valueText(one)}</td>
                <td data-label={t.columns.note}>{noteText(one)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

function valueText({ errorMm, error, uncertainty }: Closures[number]): string {
  const t = text.value.changes.over;
  const { fixed, measure } = format();
  if (errorMm === null || error === null) return fixed(null, 0);
  const value = `${errorMm > 0 ? '+' : ''}${measure('length', errorMm)} (${fixed(100 * error, 2)} %)`;
  if (uncertainty === null || error === 0) return value;
  return `${value} ${t.uncertainty(measure('length', Math.abs((uncertainty * errorMm) / error)))}`;
}

function noteText({ finding, reason }: Closures[number]): string {
  const t = text.value.changes.over;
  const found = finding === null ? '' : `${finding === 'closed' ? '' : '■ '}${t.finding[finding]}`;
  return [found, said(reason ?? '')].filter(part => part !== '').join('; ');
}
