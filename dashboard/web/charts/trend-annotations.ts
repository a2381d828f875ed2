/** Everything a trend shows beside its line: band, target, gaps, spans and marks. */
import type { AnnotationOptions } from 'chartjs-plugin-annotation';
import type { Xy } from '../data/trend-history.ts';

export interface TrendColours {
  readonly ink: string;
  readonly muted: string;
  readonly grid: string;
  readonly band: string;
  readonly hatch: string;
  readonly ground: string;
  readonly out: string;
}

export interface TrendMark {
  readonly atUs: number;
  readonly label: string;
}

/** A stretch of the axis that something is said of: a deviation, or a call of NDT with its uncertainty. */
export interface TrendSpan {
  readonly fromUs: number;
  readonly toUs: number;
  readonly kind: 'out' | 'call';
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
  readonly spans?: readonly TrendSpan[];
  /** 'values': the scale reaches every value; else what lies off it runs along its edge. */
  readonly fit?: 'values';
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
    out: of('--out-wash'),
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

export function annotations(frame: TrendFrame, colours: TrendColours): Record<string, AnnotationOptions> {
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
  (frame.spans ?? []).forEach(({ fromUs, toUs, kind, label }, i) => {
    const isOut = kind === 'out';
    made[`span${i}`] = {
      type: 'box',
      drawTime: 'beforeDatasetsDraw',
      xMin: fromUs,
      xMax: toUs,
      backgroundColor: isOut ? colours.out : 'transparent',
      borderColor: colours.ink,
      borderWidth: isOut ? 1 : 2,
      ...(isOut ? {} : { borderDash: [5, 4] }),
      label: {
        display: label !== '',
        content: label,
        position: { x: 'start', y: 'start' },
        color: colours.ink,
        padding: 2,
        font: { size: 12, weight: 'bold' },
      },
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
        display: mark.label !== '',
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
