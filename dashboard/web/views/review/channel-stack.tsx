import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { Samples } from '#core/messages/api';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { useApp } from '../../app-context.ts';
import type { Stretch } from '../../charts/place-map.ts';
import { TrendChart } from '../../charts/trend-chart.ts';
import { displays, format, text } from '../../text/text.ts';
import { useRead } from '../changes/use-read.ts';
import { ArcBar } from './arc-bar.tsx';
import { channelFrame, pointsOf, type StretchAxis, stretchAxis, travelRatio } from './channel-frame.ts';
import { ExtremesTable } from './extremes-table.tsx';
import type { WindowName } from './window-names.ts';

interface ChannelStackProps {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly map: readonly Stretch[];
  /** Null: no place is known; all of the pass along time. */
  readonly stretch: { readonly fromMm: number; readonly toMm: number } | null;
  readonly axis: 'mm' | 's';
  readonly cursorMm: number | null;
}

/** Channels drawn from the stored samples by their extremes. */
const CHANNELS = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed', 'gasFlow'] as const;
const POINTS = 1000;

/** The channels of one stretch on one axis, with band, target, deviations, calls and one cursor. */
export function ChannelStack({ review, pass, map, stretch, axis, cursorMm }: ChannelStackProps) {
  const { api } = useApp();
  const t = text.value.review;
  const { message } = pass;
  const along = useMemo(
    () => stretchAxis(pass, map, stretch, axis),
    [pass, map, stretch?.fromMm, stretch?.toMm, axis],
  );
  const byTime = stretchAxis(pass, map, stretch, 's');
  const query = {
    from: String(Math.round(Math.min(byTime.from, byTime.to))),
    to: String(Math.round(Math.max(byTime.from, byTime.to))),
    stream: message.stream,
    points: String(POINTS),
    channels: CHANNELS.join(','),
  };
  const { site, rig, passId } = message;
  const { value, failure } = useRead(`samples ${passId} ${query.from} ${query.to}`, () =>
    api.get<Samples>(['rigs', site, rig, 'samples'], query),
  );
  const shownChannels = CHANNELS.filter(channel =>
    value?.series.some(series => series.channel === channel && series.tUs.length > 0),
  );
  return (
    <div class="channel-stack">
      {failure !== null && (
        <p class="message nodata" role="alert">
          {t.pass.samplesFailed(failure)}
        </p>
      )}
      {value === null && failure === null && <p>{t.pass.samplesLoading}</p>}
      {value !== null && shownChannels.length === 0 && <p class="message nodata">{t.pass.noSamples}</p>}
      {value?.summarised !== undefined && <p class="message nodata">{t.pass.summarised}</p>}
      {value?.note !== undefined && value.summarised === undefined && (
        <p class="message">{t.pass.readHere}</p>
      )}
      {shownChannels.length > 0 && <ArcBar review={review} pass={pass} axis={along} />}
      {shownChannels.map((channel, i) => (
        <Channel
          key={channel}
          channel={channel}
          samples={value}
          pass={pass}
          review={review}
          map={map}
          axis={along}
          cursorMm={cursorMm}
          last={i === shownChannels.length - 1}
        />
      ))}
      {value !== null && shownChannels.length > 0 && (
        <ExtremesTable
          samples={value}
          pass={pass}
          channels={shownChannels}
          ratio={travelRatio(pass, review.outsideDiameterMm)}
        />
      )}
    </div>
  );
}

interface ChannelProps {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly map: readonly Stretch[];
  readonly axis: StretchAxis;
  readonly cursorMm: number | null;
  readonly channel: WindowName;
  readonly samples: Samples | null;
  readonly last: boolean;
}

function Channel({ channel, samples, pass, review, map, axis, cursorMm, last }: ChannelProps) {
  const { screen } = useApp();
  const canvas = useRef<HTMLCanvasElement>(null);
  const chart = useRef<TrendChart | null>(null);
  const t = text.value;
  const { fixed } = format();
  const display = displays()[channel]!;
  const theme = String(screen.theme.value);
  const ratio = channel === 'travelSpeed' ? travelRatio(pass, review.outsideDiameterMm) : 1;
  const points = useMemo(
    () => pointsOf(samples, channel, axis, ratio),
    [samples, channel, axis, ratio, display],
  );
  const frame = channelFrame({ review, pass, channel, samples, points, map, axis, cursorMm });
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
  let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { y } of points) {
    low = Math.min(low, y);
    high = Math.max(high, y);
  }
  const name = t.changes.quantity[channel] ?? channel;
  const isKnown = low <= high;
  const range = isKnown
    ? t.review.pass.range(fixed(low, display.decimals), fixed(high, display.decimals), display.unit)
    : t.review.pass.chartNothing;
  return (
    <figure class={last ? 'trend timed' : 'trend'}>
      <figcaption>
        {name} <span class="unit">{range}</span>
      </figcaption>
      <div class="trend-canvas">
        <canvas ref={canvas} role="img" aria-label={t.review.pass.chart(name, range)} />
      </div>
    </figure>
  );
}
