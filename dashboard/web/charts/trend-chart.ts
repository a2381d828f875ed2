import { CategoryScale, Chart, LinearScale, LineController, LineElement, PointElement } from 'chart.js';
import annotationPlugin, { type AnnotationOptions } from 'chartjs-plugin-annotation';
import type { Xy } from '../data/trend-history.ts';
import { bandRange } from './band-geometry.ts';

Chart.register(LineController, LineElement, PointElement, LinearScale, CategoryScale, annotationPlugin);

export interface TrendColours {
  readonly ink: string;
  readonly muted: string;
  readonly grid: string;
  readonly band: string;
  readonly hatch: string;
  readonly ground: string;
}

export interface TrendMark {
  readonly atUs: number;
  readonly label: string;
}

export interface TrendFrame {
  readonly points: readonly Xy[];
  readonly fromUs: number;
  readonly toUs: number;
  readonly min: number | null;
  readonly nominal: number | null;
  readonly max: number | null;
  readonly gaps: readonly { readonly fromUs: number; readonly toUs: number }[];
  /** What people entered as happening at a moment, in a word. */
  readonly marks: readonly TrendMark[];
  /** Time of day, and below it the o'clock position, for a moment of record time. */
  readonly tick: (tUs: number) => string | string[];
  readonly decimals: number;
}

/** Colours as the theme in force has them: a canvas cannot read CSS by itself. */
export function trendColours(element: Element): TrendColours {
  const style = getComputedStyle(element);
  const of = (name: string): string => style.getPropertyValue(name).trim();
  return {
    ink: of('--ink'),
    muted: of('--muted'),
    grid: of('--line'),
    band: of('--band'),
    hatch: of('--hatch'),
    ground: of('--ground'),
  };
}

/** Diagonal lines, so that "not recorded" is not told by colour alone. */
function hatching(colours: TrendColours): CanvasPattern | string {
  const tile = document.createElement('canvas');
  tile.width = 8;
  tile.height = 8;
  const context = tile.getContext('2d');
  if (context === null) return colours.hatch;
  context.strokeStyle = colours.muted;
  context.lineWidth = 1.5;
  context.beginPath();
  for (const shift of [-8, 0, 8]) {
    context.moveTo(shift, 8);
    context.lineTo(shift + 8, 0);
  }
  context.stroke();
  return context.createPattern(tile, 'repeat') ?? colours.hatch;
}

function annotations(frame: TrendFrame, colours: TrendColours): Record<string, AnnotationOptions> {
  const made: Record<string, AnnotationOptions> = {};
  const { min, nominal, max } = frame;
  if (min !== null || max !== null) {
    made['band'] = {
      type: 'box',
      drawTime: 'beforeDatasetsDraw',
      ...(min === null ? {} : { yMin: min }),
      ...(max === null ? {} : { yMax: max }),
      backgroundColor: colours.band,
      borderWidth: 0,
    };
  }
  for (const [key, value] of [
    ['min', min],
    ['max', max],
  ] as const) {
    if (value === null) continue;
    made[key] = {
      type: 'line',
      drawTime: 'beforeDatasetsDraw',
      yMin: value,
      yMax: value,
      borderColor: colours.ink,
      borderWidth: 1,
    };
  }
  if (nominal !== null) {
    made['target'] = {
      type: 'line',
      drawTime: 'beforeDatasetsDraw',
      yMin: nominal,
      yMax: nominal,
      borderColor: colours.muted,
      borderDash: [5, 5],
      borderWidth: 1,
    };
  }
  const hatched = hatching(colours);
  frame.gaps.forEach((gap, i) => {
    made[`gap${i}`] = {
      type: 'box',
      drawTime: 'afterDatasetsDraw',
      xMin: gap.fromUs,
      xMax: gap.toUs,
      backgroundColor: hatched as string,
      borderColor: colours.muted,
      borderWidth: 1,
    };
  });
  frame.marks.forEach((mark, i) => {
    made[`mark${i}`] = {
      type: 'line',
      drawTime: 'afterDatasetsDraw',
      xMin: mark.atUs,
      xMax: mark.atUs,
      borderColor: colours.ink,
      borderWidth: 2,
      label: {
        display: true,
        content: mark.label,
        // Side by side events keep apart, one above the other.
        position: i % 2 === 0 ? 'start' : 'end',
        backgroundColor: colours.ink,
        color: colours.ground,
        borderRadius: 0,
        padding: { x: 4, y: 1 },
        font: { size: 12 },
      },
    };
  });
  return made;
}

/** As the bar of the same quantity where it has limits; else what the values need, with a margin. */
export function trendRange(frame: Pick<TrendFrame, 'points' | 'min' | 'nominal' | 'max'>): {
  readonly low: number;
  readonly high: number;
} {
  const banded = bandRange(frame);
  if (banded !== null) return banded;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const { y } of frame.points) {
    if (Number.isNaN(y)) continue;
    low = Math.min(low, y);
    high = Math.max(high, y);
  }
  if (!Number.isFinite(low)) return { low: 0, high: 1 };
  const margin = Math.max((high - low) * 0.12, Math.abs(high) * 0.02, 1e-3);
  return { low: low - margin, high: high + margin };
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
              callback: value => Number(value).toFixed(this.#frame?.decimals ?? 0),
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
      Object.assign(x.ticks ?? {}, { stepSize: spanUs / 4, color: this.#colours.muted });
      x.grid = { color: this.#colours.grid };
      Object.assign(y, { min: low, max: high });
      Object.assign(y.ticks ?? {}, { color: this.#colours.muted });
      y.grid = { color: this.#colours.grid };
    }
    const { min, nominal, max, gaps, marks } = frame;
    // Built anew only when it says something new: the library resolves every option of it each time.
    const key = JSON.stringify([min, nominal, max, gaps, marks, this.#colours.ink]);
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
