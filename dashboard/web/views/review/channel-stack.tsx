import { useEffect, useRef } from 'preact/hooks';
import type { Samples } from '#core/messages/api';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { useApp } from '../../app-context.ts';
import { TrendChart, type TrendFrame } from '../../charts/trend-chart.ts';
import type { Xy } from '../../data/trend-history.ts';
import { oClockText, QUANTITY_DISPLAY } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { placeAt, timeAt, windowAt } from './place-map.ts';
import type { ReviewRoute } from './review-route.ts';
import type { WindowName } from './window-names.ts';

interface ChannelStackProps {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly fromMm: number;
  readonly toMm: number;
  readonly route: ReviewRoute;
}

/** Channels drawn from the stored samples by their extremes, and arc energy from the windows. */
const CHANNELS = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'] as const;
const POINTS = 1000;

/** The channels of one stretch on one axis, with band, target, deviations and one cursor. */
export function ChannelStack({ review, pass, fromMm, toMm, route }: ChannelStackProps) {
  const { api } = useApp();
  const t = text.value.review;
  const { windows, message } = pass;
  const from = timeAt(windows, fromMm) ?? windows[0]?.fromS ?? 0;
  const to = timeAt(windows, toMm) ?? windows.at(-1)?.toS ?? from + 1;
  const query = {
    from: String(Math.round(message.startUs + Math.min(from, to) * 1e6)),
    to: String(Math.round(message.startUs + Math.max(from, to) * 1e6)),
    stream: message.stream,
    points: String(POINTS),
    channels: CHANNELS.join(','),
  };
  const { site, rig, passId } = message;
  const { value, failure } = useRead(`samples ${passId} ${query.from} ${query.to}`, () =>
    api.get<Samples>(['rigs', site, rig, 'samples'], query),
  );
  const shownChannels = CHANNELS.filter(
    channel => value === null || value.series.some(series => series.channel === channel),
  );
  return (
    <div class="channel-stack">
      {failure !== null && <p class="message nodata">{text.value.changes.failed(failure)}</p>}
      {shownChannels.map((channel, i) => (
        <Channel
          key={channel}
          channel={channel}
          samples={value}
          pass={pass}
          review={review}
          fromMm={fromMm}
          toMm={toMm}
          route={route}
          last={i === shownChannels.length - 1}
        />
      ))}
      {value !== null && shownChannels.length === 0 && <p>{t.rows.none}</p>}
    </div>
  );
}

interface ChannelProps extends ChannelStackProps {
  readonly channel: WindowName;
  readonly samples: Samples | null;
  readonly last: boolean;
}

function Channel({ channel, samples, pass, review, fromMm, toMm, route, last }: ChannelProps) {
  const { screen } = useApp();
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<TrendChart | null>(null);
  const t = text.value;
  const { fixed } = format();
  const display = QUANTITY_DISPLAY[channel]!;
  const theme = String(screen.theme.value);
  const frame = frameOf({ channel, samples, pass, review, fromMm, toMm, route });
  useEffect(() => {
    if (canvas.current === null) return;
    const made = new TrendChart(canvas.current, last);
    chart.current = made;
    return () => {
      made.destroy();
      chart.current = null;
    };
  }, [last, theme]);
  useEffect(() => {
    if (canvas.current !== null) chart.current?.draw(frame, canvas.current);
  });
  const values = frame.points.flatMap(({ y }) => (Number.isNaN(y) ? [] : [y]));
  const name = t.changes.quantity[channel] ?? channel;
  const label =
    values.length === 0
      ? t.review.pass.chartNothing(name)
      : t.review.pass.chart(
          name,
          fixed(Math.min(...values), display.decimals),
          fixed(Math.max(...values), display.decimals),
          display.unit,
        );
  return (
    <figure class={last ? 'trend timed' : 'trend'}>
      <figcaption>
        {name} <span class="unit">{display.unit}</span>
      </figcaption>
      <div class="trend-canvas">
        <canvas ref={canvas} role="img" aria-label={label} />
      </div>
    </figure>
  );
}

interface FrameInput {
  readonly channel: WindowName;
  readonly samples: Samples | null;
  readonly pass: ReviewPass;
  readonly review: JointReview;
  readonly fromMm: number;
  readonly toMm: number;
  readonly route: ReviewRoute;
}

/** x is mm along the side, or µs of record time: the chart only needs numbers that grow. */
function frameOf({ channel, samples, pass, review, fromMm, toMm, route }: FrameInput): TrendFrame {
  const { windows, message, judgements } = pass;
  const display = QUANTITY_DISPLAY[channel]!;
  const byTime = route.axis === 's';
  const startUs = message.startUs;
  const limit = judgements
    .at(-1)
    ?.verdicts.filter(({ quantity }) => quantity === channel)
    .toSorted((a, b) => Number(b.basis === 'window') - Number(a.basis === 'window'))[0];
  const shown = (value: number | null | undefined): number | null =>
    value === null || value === undefined ? null : display.shown(value);
  const xOfUs = (tUs: number): number | null => (byTime ? tUs : placeAt(windows, (tUs - startUs) / 1e6));
  const xOfMm = (mm: number): number | null => {
    if (!byTime) return mm;
    const s = timeAt(windows, mm);
    return s === null ? null : startUs + s * 1e6;
  };
  const fallback = byTime
    ? { from: startUs, to: message.endUs }
    : { from: fromMm, to: Math.max(toMm, fromMm + 1) };
  const series = samples?.series.find(one => one.channel === channel);
  const ratio = channel === 'travelSpeed' ? travelRatio(pass, review.outsideDiameterMm) : 1;
  const points: Xy[] = (series?.tUs ?? []).flatMap((tUs, i): Xy[] => {
    const x = xOfUs(tUs);
    const [low, high] = [series?.min[i], series?.max[i]];
    if (x === null || low === undefined || high === undefined || low === null || high === null) return [];
    const y = [low, high].map(value => display.shown(value * ratio));
    return y[0] === y[1] ? [{ x, y: y[0]! }] : y.map(value => ({ x, y: value }));
  });
  const cursor = route.cursorMm === null ? null : xOfMm(route.cursorMm);
  return {
    points,
    fromUs: xOfMm(fromMm) ?? fallback.from,
    toUs: xOfMm(toMm) ?? fallback.to,
    min: shown(limit?.min),
    nominal: shown(limit?.nominal),
    max: shown(limit?.max),
    gaps: byTime ? (samples?.gaps ?? []) : [],
    marks: cursor === null ? [] : [{ atUs: cursor, label: '' }],
    decimals: display.decimals,
    tick: at => {
      const mm = byTime ? placeAt(windows, (at - startUs) / 1e6) : at;
      const clock = mm === null ? null : (windowAt(windows, mm)?.fromClock ?? null);
      const first = byTime ? `${((at - startUs) / 1e6).toFixed(0)} s` : `${at.toFixed(0)} mm`;
      return clock === null ? first : [first, oClockText(clock)];
    },
  };
}

/** Travel at the weld per travel as reported: the limits and windows speak of the weld. */
function travelRatio({ quality }: ReviewPass, outsideDiameterMm: number | null): number {
  const { referenceRadiusMm } = quality;
  return referenceRadiusMm === null || outsideDiameterMm === null
    ? 1
    : outsideDiameterMm / 2 / referenceRadiusMm;
}
