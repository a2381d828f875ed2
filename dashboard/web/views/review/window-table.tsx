import type { ReviewPass } from '#core/messages/api-review';
import { useApp } from '../../app-context.ts';
import { More } from '../../parts/more.tsx';
import { Pick } from '../../parts/pick.tsx';
import { oClockText } from '../../text/format.ts';
import { displays, format, text } from '../../text/text.ts';
import { type ReviewRoute, reviewUrl } from './review-route.ts';
import { WINDOW_NAMES } from './window-names.ts';
import { sectorRows, windowRow } from './window-rows.ts';

/** What a window of a pass is cut at. */
const WINDOW_MM = 25;

interface WindowTableProps {
  readonly pass: ReviewPass;
  readonly route: ReviewRoute;
}

/** The pass in numbers, each window or each 30°; a row leads to its stretch in the charts. */
export function WindowTable({ pass, route }: WindowTableProps) {
  const { replace } = useApp();
  const t = text.value;
  const r = t.review.rows;
  const { fixed, measure, units, value } = format();
  const rows = route.rows === 'sectors' ? sectorRows(pass.windows) : pass.windows.map(windowRow);
  const known = WINDOW_NAMES.filter(name => rows.some(({ values }) => values[name] !== null));
  return (
    <More label={r.title} open={false} class="window-rows">
      <Pick
        name="review-rows"
        legend={r.pick}
        options={[
          { value: 'windows', label: r.windows(measure('length', WINDOW_MM)) },
          { value: 'sectors', label: r.sectors },
        ]}
        value={route.rows}
        error={null}
        pick={value => replace({ ...route, rows: value === 'sectors' ? 'sectors' : 'windows' })}
      />
      {rows.length === 0 ? (
        <p>{r.none}</p>
      ) : (
        <table class="plain-table">
          <caption class="sr-only">{r.title}</caption>
          <thead>
            <tr>
              <th scope="col">{units.length.unit}</th>
              <th scope="col">{r.clock}</th>
              {known.map(name => (
                <th key={name} scope="col">
                  {t.changes.quantity[name]}, {displays()[name]?.unit}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(row => (
              <tr key={row.key} data-verdict={row.out.length > 0 ? 'out' : 'in'}>
                <th scope="row">
                  {row.fromMm === null || row.toMm === null ? (
                    fixed(null, 0)
                  ) : (
                    <a href={reviewUrl({ ...route, fromMm: row.fromMm - 25, toMm: row.toMm + 25 })}>
                      {value('length', row.fromMm)} – {value('length', row.toMm)}
                    </a>
                  )}
                </th>
                <td data-label={r.clock}>{oClockText(row.fromClock)}</td>
                {known.map(name => {
                  const display = displays()[name];
                  const stored = row.values[name];
                  const isOut = row.out.includes(name);
                  return (
                    <td key={name} data-label={t.changes.quantity[name]}>
                      {stored === null || !display
                        ? fixed(null, 0)
                        : fixed(display.shown(stored), display.decimals)}
                      {isOut && <strong> {r.outMark}</strong>}
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </More>
  );
}
