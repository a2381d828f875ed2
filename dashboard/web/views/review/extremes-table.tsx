import type { Samples } from '#core/messages/api';
import type { ReviewPass } from '#core/messages/api-review';
import { More } from '../../parts/more.tsx';
import { oClockText } from '../../text/format.ts';
import { displays, format, text } from '../../text/text.ts';
import { extremesRows } from './channel-extremes.ts';
import type { WindowName } from './window-names.ts';

interface ExtremesTableProps {
  readonly samples: Samples;
  readonly pass: ReviewPass;
  readonly channels: readonly WindowName[];
  /** Travel at the weld per travel as reported. */
  readonly ratio: number;
}

/** What the charts draw, in numbers: of each window the least and greatest reading. */
export function ExtremesTable({ samples, pass, channels, ratio }: ExtremesTableProps) {
  const t = text.value;
  const r = t.review.rows;
  const { fixed, units, value: shownLength } = format();
  const rows = extremesRows(samples, pass.windows, pass.message.startUs);
  return (
    <More label={r.extremesTitle} open={false} class="window-rows">
      {rows.length === 0 ? (
        <p>{r.none}</p>
      ) : (
        <table class="plain-table">
          <caption class="hint">{r.extremesNote}</caption>
          <thead>
            <tr>
              <th scope="col">{units.length.unit}</th>
              <th scope="col">{r.clock}</th>
              {channels.map(channel => (
                <th key={channel} scope="col">
                  {t.changes.quantity[channel]}, {displays()[channel]?.unit}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(({ window, values }) => (
              <tr key={window.fromS}>
                <th scope="row">
                  {window.fromMm === null || window.toMm === null
                    ? r.seconds(fixed(window.fromS, 1), fixed(window.toS, 1))
                    : r.span(shownLength('length', window.fromMm), shownLength('length', window.toMm))}
                </th>
                <td data-label={r.clock}>{oClockText(window.fromClock)}</td>
                {channels.map(channel => {
                  const display = displays()[channel]!;
                  const one = values[channel] ?? null;
                  const shown = (value: number): string =>
                    fixed(display.shown(channel === 'travelSpeed' ? value * ratio : value), display.decimals);
                  return (
                    <td key={channel} data-label={t.changes.quantity[channel]}>
                      {one === null ? fixed(null, 0) : r.span(shown(one.low), shown(one.high))}
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
