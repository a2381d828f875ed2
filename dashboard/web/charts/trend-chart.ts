import { CategoryScale, Chart, LinearScale, LineController, LineElement, PointElement } from 'chart.js';
import annotationPlugin from 'chartjs-plugin-annotation';
import type { Xy } from '../data/trend-history.ts';
import { format } from '../text/text.ts';
import { bandRange } from './band-geometry.ts';
import { annotations, type TrendColours, type TrendFrame, trendColours } from './trend-annotations.ts';

Chart.register(LineController, LineElement, PointElement, LinearScale, CategoryScale, annotationPlugin);

const FIVE_TIMES_FROM_PX = 440;
/** What may lie beyond a scale that has a band, at either end: it runs along the edge, and the caption says how far it goes. */
const BEYOND_SHARE = 0.01;

/** As the bar of the same quantity where it has limits; else what the values need, with a margin. */
export function trendRange(frame: Pick<TrendFrame, 'points' | 'min' | 'nominal' | 'max' | 'fit'>): {
  readonly low: number;
  readonly high: number;
} {
  const banded = bandRange(frame);
  if (banded !== null && frame.fit === undefined) return banded;
  const known = frame.points.flatMap(({ y }) => (Number.isNaN(y) ? [] : [y])).sort((one, two) => one - two);
  // With a band the hundredth at either end gives way: an arc going out must not flatten the weld before it.
  const aside = banded === null ? 0 : Math.floor(known.length * BEYOND_SHARE);
  const low = known[aside];
  const high = known[known.length - 1 - aside];
  if (low === undefined || high === undefined) return banded ?? { low: 0, high: 1 };
  const margin = Math.max((high - low) * 0.12, Math.abs(high) * 0.02, 1e-3);
  const needed = { low: low - margin, high: high + margin };
  if (banded === null) return needed;
  return {
    low: low < banded.low ? needed.low : banded.low,
    high: high > banded.high ? needed.high : banded.high,
  };
}

/** One trend on a canvas. x is µs of record time on a linear axis with our own tick text. */
export class TrendChart {
  readonly #chart: Chart<'line', Xy[]>;
  #colours: TrendColours;
  #frame: TrendFrame | null = null;
  #annotated = '';

  constructor(canvas: HTMLCanvasElement, showTimes: boolean) {
    this.#colours = trendColours(canvas);
    const tick = (value: string | number): string | string[] => this.#frame?.tick(Number(value)) ?? '';
    this.#chart = new Chart(canvas, {
      type: 'line',
      data: {
        datasets: [
          {
            data: [], // A hairline is what a canvas draws fastest, and five times a second it matters.
            borderWidth: 1,
            pointRadius: 0,
            pointHitRadius: 0,
            spanGaps: false,
          },
        ],
      },
      options: {
        animation: false,
        parsing: false,
        normalized: true,
        responsive: true,
        maintainAspectRatio: false,
        events: [],
        plugins: { annotation: { annotations: {} } },
        scales: {
          x: {
            type: 'linear',
            ticks: {
              display: showTimes,
              callback: tick,
              maxRotation: 0,
              align: 'inner',
              autoSkip: true,
              font: { size: 13 },
            },
            border: { display: false },
          },
          y: {
            type: 'linear',
            afterFit: axis => {
              axis.width = 56;
            },
            afterBuildTicks: axis => {
              const { min, nominal, max } = this.#frame ?? { min: null, nominal: null, max: null };
              const limits = [min, nominal, max].filter(value => value !== null);
              // Where there are limits they are the scale; elsewhere the library's round numbers.
              if (limits.length > 0) axis.ticks = limits.map(value => ({ value }));
            },
            ticks: {
              autoSkip: false,
              maxTicksLimit: 4,
              includeBounds: false,
              font: { size: 13 },
              callback: value => format().fixed(Number(value), this.#frame?.decimals ?? 0),
            },
            border: { display: false },
          },
        },
      },
    });
  }

  draw(frame: TrendFrame, canvas: Element): void {
    this.#frame = frame;
    this.#colours = trendColours(canvas);
    const chart = this.#chart;
    const [dataset] = chart.data.datasets;
    if (dataset !== undefined) {
      dataset.borderColor = this.#colours.ink;
    }
    const { x, y } = chart.options.scales ?? {};
    if (x !== undefined && y !== undefined) {
      const { low, high } = trendRange(frame);
      // What lies off the scale runs along its edge, in sight; the caption says how far it went.
      if (dataset !== undefined) {
        dataset.data = frame.points.map(({ x: at, y: value }) => ({
          x: at,
          y: Math.min(high, Math.max(low, value)),
        }));
      }
      const spanUs = frame.toUs - frame.fromUs;
      Object.assign(x, { min: frame.fromUs, max: frame.toUs });
      // On a phone five times would run into each other: the outer two are drawn inward.
      const steps = chart.width < FIVE_TIMES_FROM_PX ? 2 : 4;
      Object.assign(x.ticks ?? {}, { stepSize: spanUs / steps, color: this.#colours.muted });
      x.grid = { color: this.#colours.grid };
      Object.assign(y, { min: low, max: high });
      Object.assign(y.ticks ?? {}, { color: this.#colours.muted });
      y.grid = { color: this.#colours.grid };
    }
    const { min, nominal, max, gaps, marks, spans } = frame;
    // Built anew only when it says something new: the library resolves every option of it each time.
    const key = JSON.stringify([min, nominal, max, gaps, marks, spans, this.#colours.ink]);
    if (chart.options.plugins?.annotation !== undefined && key !== this.#annotated) {
      this.#annotated = key;
      chart.options.plugins.annotation.annotations = annotations(frame, this.#colours);
    }
    chart.update('none');
  }

  destroy(): void {
    this.#chart.destroy();
  }
}
