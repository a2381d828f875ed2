import type { ResolvedLimit } from '#core/procedure/limits';
import { useApp } from '../../app-context.ts';
import { limitsRange, shownValue } from '../../charts/band-bar.tsx';
import type { TrailPoint } from '../../data/live-trail.ts';
import type { RigEntry } from '../../data/rig-entry.ts';
import type { TrendChannel, TrendStats } from '../../data/trend-history.ts';
import { oClockText } from '../../text/format.ts';
import { displays, format, text } from '../../text/text.ts';

export interface TrendRow {
  readonly channel: TrendChannel;
  readonly quantity: string;
  readonly label: string;
  readonly limit: ResolvedLimit | null;
  readonly stats: TrendStats;
}

const unitOf = (quantity: string): string => displays()[quantity]?.unit ?? '';

/** The charts in numbers. */
export function ValuesTable({
  rows,
  isPast = false,
}: {
  readonly rows: readonly TrendRow[];
  /** Of a time gone by: there is no value now. */
  readonly isPast?: boolean;
}) {
  const t = text.value;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls is scrolled with the keyboard too
    <section class="table-scroll" tabIndex={0} aria-label={t.trends.table}>
      <table class="values-table">
        <caption>{t.trends.table}</caption>
        <thead>
          <tr>
            <th scope="col">{t.trends.columnQuantity}</th>
            {!isPast && <th scope="col">{t.trends.columnNow}</th>}
            <th scope="col">{t.trends.columnMin}</th>
            <th scope="col">{t.trends.columnMax}</th>
            <th scope="col">{t.trends.columnLimits}</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ channel, quantity, label, limit, stats }) => (
            <tr key={channel}>
              <th scope="row">
                {label} <span class="unit">{unitOf(quantity)}</span>
              </th>
              {!isPast && <td>{shownValue(quantity, stats.now)}</td>}
              <td>{shownValue(quantity, stats.min)}</td>
              <td>{shownValue(quantity, stats.max)}</td>
              <td data-label={t.trends.columnLimits}>
                {limitsRange(t, limit)}
                {limit !== null && <span class="basis">{t.basis[limit.basis]}</span>}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

const READING_EVERY_US = 10e6;

/** What this page saw, every ten seconds of record time. */
function readings(points: readonly TrailPoint[], fromUs: number): TrailPoint[] {
  const picked: TrailPoint[] = [];
  let next = fromUs;
  for (const point of points) {
    if (point.tUs < next) continue;
    picked.push(point);
    next = Math.floor(point.tUs / READING_EVERY_US + 1) * READING_EVERY_US;
  }
  return picked.reverse();
}

const COLUMNS = [
  ['current', 'weldingCurrent'],
  ['voltage', 'arcVoltage'],
  ['wireFeed', 'wireFeedSpeed'],
  ['travel', 'travelSpeed'],
] as const;

export function ReadingsTable({ entry, spanS }: { readonly entry: RigEntry; readonly spanS: number }) {
  const { rigs } = useApp();
  const t = text.value;
  // Once a second is enough for a table of every tenth.
  void rigs.nowMs.value;
  const { trail } = entry;
  const newest = trail.points.at(-1)?.tUs ?? 0;
  const offset = trail.utcMinusRecordMs ?? 0;
  return (
    <details>
      <summary>{t.trends.every10}</summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls is scrolled with the keyboard too */}
      <section class="table-scroll" tabIndex={0} aria-label={t.trends.every10}>
        <table>
          <thead>
            <tr>
              <th scope="col">{t.trends.columnTime}</th>
              <th scope="col">{t.trends.columnClock}</th>
              {COLUMNS.map(([channel, quantity]) => (
                <th key={channel} scope="col">
                  {t.quantity[quantity]} {unitOf(quantity)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {readings(trail.points, newest - spanS * 1e6).map(point => (
              <tr key={point.tUs}>
                <th scope="row">{format().timeOfDay(point.tUs / 1000 + offset)}</th>
                <td>{oClockText(point.clock)}</td>
                {COLUMNS.map(([channel, quantity]) => (
                  <td key={channel}>{shownValue(quantity, point[channel])}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </details>
  );
}
