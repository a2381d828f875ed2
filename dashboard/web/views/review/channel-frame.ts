/** What a chart of one channel draws of a stretch of a pass: along mm of the side, or along time. */
import { alongSide } from '#core/indication/covered';
import type { Samples } from '#core/messages/api';
import type { JointReview, ReviewPass } from '#core/messages/api-review';
import { endOf, placeAt, type Stretch, timeAt, windowAt } from '../../charts/place-map.ts';
import type { TrendFrame, TrendSpan } from '../../charts/trend-annotations.ts';
import type { Xy } from '../../data/trend-history.ts';
import { oClockText } from '../../text/format.ts';
import { displays, format } from '../../text/text.ts';
import type { WindowName } from './window-names.ts';

export interface StretchAxis {
  readonly byTime: boolean;
  readonly from: number;
  readonly to: number;
  readonly ofUs: (tUs: number) => number | null;
  readonly ofMm: (mm: number) => number | null;
}

/** x is mm along the side, or µs of record time; `stretch` null: all of the pass, along time. */
export function stretchAxis(
  pass: ReviewPass,
  map: readonly Stretch[],
  stretch: { readonly fromMm: number; readonly toMm: number } | null,
  axis: 'mm' | 's',
): StretchAxis {
  const { startUs } = pass.message;
  const byTime = axis === 's' || stretch === null;
  const usOfMm = (mm: number): number | null => {
    const s = timeAt(map, mm);
    return s === null ? null : startUs + s * 1e6;
  };
  if (!byTime) {
    return {
      byTime,
      from: stretch.fromMm,
      to: stretch.toMm,
      ofUs: tUs => placeAt(map, (tUs - startUs) / 1e6),
      ofMm: mm => mm,
    };
  }
  const ends = stretch === null ? null : [usOfMm(stretch.fromMm), usOfMm(stretch.toMm)];
  return {
    byTime,
    from: ends?.[0] ?? startUs,
    to: ends?.[1] ?? startUs + endOf(pass) * 1e6,
    ofUs: tUs => tUs,
    ofMm: usOfMm,
  };
}

/** Both ends in order; nothing where one is not on the axis. */
const spanOf = (from: number | null, to: number | null) =>
  from === null || to === null ? [] : [{ fromUs: Math.min(from, to), toUs: Math.max(from, to) }];

/** Deviations of the channel, and places of indications with everything not known of them. */
export function spansOf(
  review: JointReview,
  pass: ReviewPass,
  channel: string | null,
  axis: StretchAxis,
): TrendSpan[] {
  const { side } = pass.work;
  const { outsideDiameterMm } = review;
  const deviations = (pass.judgements.at(-1)?.deviations ?? pass.message.deviations).flatMap(
    ({ quantity, fromMm, toMm }): TrendSpan[] =>
      channel !== null && quantity !== channel
        ? []
        : fromMm === null || toMm === null
          ? []
          : spanOf(axis.ofMm(fromMm), axis.ofMm(toMm)).map(span => ({
              ...span,
              kind: 'out',
              label: '',
            })),
  );
  const calls = review.indications.flatMap(({ label, place, covered }): TrendSpan[] => {
    const here = covered.some(({ passId }) => passId === pass.message.passId);
    if (!here || place === null || side === null || pass.startDegrees === null || outsideDiameterMm === null)
      return [];
    const frame = { side, startDegrees: pass.startDegrees, outsideDiameterMm };
    const { fromMm, toMm } = alongSide(frame, place);
    const from = axis.ofMm(fromMm - place.uncertaintyMm) ?? axis.ofMm(fromMm);
    const to = axis.ofMm(toMm + place.uncertaintyMm) ?? axis.ofMm(toMm);
    return spanOf(from, to).map(span => ({ ...span, kind: 'call', label }));
  });
  return [...deviations, ...calls];
}

/** Minima and maxima as drawn: two points where they differ, so that no excursion is left out. */
export function pointsOf(
  samples: Samples | null,
  channel: WindowName,
  axis: StretchAxis,
  ratio: number,
): Xy[] {
  const display = displays()[channel]!;
  const series = samples?.series.find(one => one.channel === channel);
  return (series?.tUs ?? []).flatMap((tUs, i): Xy[] => {
    const x = axis.ofUs(tUs);
    const [low, high] = [series?.min[i], series?.max[i]];
    if (x === null || low == null || high == null) return [];
    const y = [low, high].map(value => display.shown(value * ratio));
    return y[0] === y[1] ? [{ x, y: y[0]! }] : y.map(value => ({ x, y: value }));
  });
}

/** Travel at the weld per travel as reported: the limits and windows speak of the weld. */
export function travelRatio({ quality }: ReviewPass, outsideDiameterMm: number | null): number {
  const { referenceRadiusMm } = quality;
  return referenceRadiusMm === null || outsideDiameterMm === null
    ? 1
    : outsideDiameterMm / 2 / referenceRadiusMm;
}

interface FrameInput {
  readonly review: JointReview;
  readonly pass: ReviewPass;
  readonly channel: WindowName;
  readonly samples: Samples | null;
  readonly points: readonly Xy[];
  readonly map: readonly Stretch[];
  readonly axis: StretchAxis;
  readonly cursorMm: number | null;
}

export function channelFrame(input: FrameInput): TrendFrame {
  const { review, pass, channel, samples, points, map, axis, cursorMm } = input;
  const display = displays()[channel]!;
  const { startUs } = pass.message;
  const limit = pass.judgements
    .at(-1)
    ?.verdicts.filter(({ quantity }) => quantity === channel)
    .toSorted((a, b) => Number(b.basis === 'window') - Number(a.basis === 'window'))[0];
  const shown = (value: number | null | undefined): number | null =>
    value == null ? null : display.shown(value);
  const cursor = cursorMm === null ? null : axis.ofMm(cursorMm);
  return {
    points,
    fromUs: axis.from,
    toUs: axis.to,
    min: shown(limit?.min),
    nominal: shown(limit?.nominal),
    max: shown(limit?.max),
    gaps: (samples?.gaps ?? []).flatMap(gap => spanOf(axis.ofUs(gap.fromUs), axis.ofUs(gap.toUs))),
    spans: spansOf(review, pass, channel, axis),
    marks: cursor === null ? [] : [{ atUs: cursor, label: '' }],
    fit: 'values',
    decimals: display.decimals,
    tick: at => {
      const mm = axis.byTime ? placeAt(map, (at - startUs) / 1e6) : at;
      const clock = mm === null ? null : (windowAt(pass.windows, mm)?.fromClock ?? null);
      const first = axis.byTime
        ? `${format().fixed((at - startUs) / 1e6, 0)} s`
        : format().measure('length', at);
      return clock === null ? first : [first, oClockText(clock)];
    },
  };
}
