import { useEffect, useRef, useState } from 'preact/hooks';
import type { ResolvedLimit } from '#core/procedure/limits';
import { useApp } from '../../app-context.ts';
import { limitsText, shownValue } from '../../charts/band-bar.tsx';
import { bandRange } from '../../charts/band-geometry.ts';
import { TrendChart } from '../../charts/trend-chart.ts';
import type { RigEntry } from '../../data/rig-entry.ts';
import { storedScale, type TrendChannel, type TrendStats, trendStats } from '../../data/trend-history.ts';
import { oClockText } from '../../text/format.ts';
import { displays, format, text } from '../../text/text.ts';
import { type EventMark, marksIn } from './event-marks.ts';
import type { FollowedHistory } from './use-trend-history.ts';

/** Trends are redrawn five times a second. */
const DRAW_EVERY_MS = 200;
/** The summary and the table beside it change with this many draws. */
const SUMMARY_EVERY = 5;

interface TrendPanelProps {
  readonly entry: RigEntry;
  readonly followed: FollowedHistory;
  readonly channel: TrendChannel;
  readonly quantity: string;
  readonly label: string;
  readonly limit: ResolvedLimit | null;
  readonly outsideDiameterMm: number | null;
  readonly spanS: number;
  readonly showTimes: boolean;
  readonly marks: readonly EventMark[];
  readonly onStats: (channel: TrendChannel, stats: TrendStats) => void;
}

/** The o'clock position nearest to a moment, where this page saw one. */
function clockAt(entry: RigEntry, tUs: number): number | null {
  const { points } = entry.trail;
  let low = 0;
  let high = points.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((points[middle]?.tUs ?? 0) < tUs) low = middle + 1;
    else high = middle;
  }
  const point = points[low] ?? points.at(-1);
  return point !== undefined && Math.abs(point.tUs - tUs) < 1.5e6 ? point.clock : null;
}

/** One quantity over the last minutes, with its band, target and what was not recorded. */
export function TrendPanel(props: TrendPanelProps) {
  const { entry, followed, channel, quantity, label, limit, spanS, showTimes, marks, onStats } = props;
  const { outsideDiameterMm } = props;
  const { screen } = useApp();
  const canvas = useRef<HTMLCanvasElement>(null);
  const [stats, setStats] = useState<TrendStats>({ now: null, min: null, max: null });
  const t = text.value;
  const display = displays()[quantity] ?? { unit: '', decimals: 2, shown: (value: number) => value };
  const theme = `${screen.theme.value}`;

  // The theme is read from CSS at each draw.
  useEffect(() => {
    const element = canvas.current;
    if (element === null) return;
    const chart = new TrendChart(element, showTimes);
    let draws = 0;
    let frame = 0;
    const draw = (): void => {
      const { history } = followed;
      const nowUs = entry.recordNowUs(performance.now());
      if (nowUs === null) return;
      const span = { fromUs: nowUs - spanS * 1e6, toUs: nowUs };
      const scale = storedScale(channel, entry.view.peek().referenceRadiusMm, outsideDiameterMm);
      const stored = history.points(channel, span, entry.trail.points, scale);
      const points = stored.map(({ x, y }) => ({ x, y: display.shown(y) }));
      const valid = entry.view.peek().feed.cause === null;
      const lastUs = stored.at(-1)?.x;
      const offset = history.utcMinusRecordMs ?? entry.trail.utcMinusRecordMs;
      const shown = (value: number | null | undefined): number | null =>
        value === null || value === undefined ? null : display.shown(value);
      chart.draw(
        {
          ...span,
          points,
          min: shown(limit?.min),
          nominal: shown(limit?.nominal),
          max: shown(limit?.max),
          gaps:
            valid || lastUs === undefined ? history.gaps : [...history.gaps, { fromUs: lastUs, toUs: nowUs }],
          marks: marksIn(marks, offset, span),
          decimals: display.decimals,
          tick: tUs => {
            const time = offset === null ? '' : format().timeOfDay(tUs / 1000 + offset);
            const clock = clockAt(entry, tUs);
            return clock === null ? time : [time, t.trends.clockAxis(oClockText(clock))];
          },
        },
        element,
      );
      if (draws++ % SUMMARY_EVERY !== 0) return;
      const made = trendStats(stored, valid ? (entry.trail.points.at(-1)?.[channel] ?? null) : null);
      setStats(made);
      onStats(channel, made);
    };
    const timer = setInterval(() => {
      cancelAnimationFrame(frame);
      frame = requestAnimationFrame(draw);
    }, DRAW_EVERY_MS);
    draw();
    return () => {
      clearInterval(timer);
      cancelAnimationFrame(frame);
      chart.destroy();
    };
  }, [entry, followed, channel, limit, outsideDiameterMm, spanS, showTimes, marks, theme, display, t]);

  const scale = limit === null ? null : bandRange(limit);
  const beyond =
    scale !== null &&
    stats.min !== null &&
    stats.max !== null &&
    (stats.min < scale.low || stats.max > scale.high);
  const summary = [
    t.trends.chart(label, String(spanS)),
    stats.min === null
      ? t.trends.chartNothing
      : t.trends.chartSummary(
          shownValue(quantity, stats.now),
          shownValue(quantity, stats.min),
          shownValue(quantity, stats.max),
          display.unit,
        ),
    t.trends.chartLimits(limitsText(t, limit)),
  ].join(' ');
  return (
    <figure class={showTimes ? 'trend timed' : 'trend'}>
      <figcaption>
        {label} <span class="unit">{display.unit}</span>
        {beyond && (
          <span class="off-scale">
            {t.trends.offScale(shownValue(quantity, stats.min), shownValue(quantity, stats.max))}
          </span>
        )}
      </figcaption>
      <div class="trend-canvas">
        <canvas ref={canvas} role="img" aria-label={summary} />
      </div>
    </figure>
  );
}
