/** How a cost grows with a size: at least four sizes, an exponent, a verdict. */
import type { Figure } from './figure.ts';
import { show } from './measure.ts';

/** Cost ∝ size to this power is still called linear; and constant. Room for noise, not for another law. */
export const LINEAR = 1.1;
export const CONSTANT = 0.1;
/** The last step alone may be this much steeper: a bend at the end must not hide in the fit. */
const LAST_STEP_MORE = 0.2;
const LEAST_SIZES = 4;

export interface Growing {
  readonly id: string;
  /** As in "server CPU of 8 s with the rigs". */
  readonly what: string;
  readonly law: 'linear' | 'constant';
  /** Heading of the sizes, such as "rigs". */
  readonly sizes: string;
  /** Heading of the costs, such as "CPU". */
  readonly costs: string;
  readonly unit: string;
  /** What the cost is also given for, such as "a rig"; of a linear cost. */
  readonly one?: string;
  /** Ascending sizes, each with its label and what it cost. */
  readonly points: readonly GrowthPoint[];
  readonly note?: string;
}

export interface GrowthPoint {
  readonly size: number;
  readonly label?: string;
  readonly cost: number;
}

/** Least squares through the logarithms: cost ∝ size to this power. Throws RangeError on fewer than two points. */
export function growthExponent(points: readonly GrowthPoint[]): number {
  if (points.length < 2) throw new RangeError('growth needs two points');
  const xs = points.map(({ size }) => Math.log(size));
  const ys = points.map(({ cost }) => Math.log(cost));
  const mean = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0) / values.length;
  const [mx, my] = [mean(xs), mean(ys)];
  const covariance = xs.reduce((sum, x, i) => sum + (x - mx) * (ys[i]! - my), 0);
  return covariance / xs.reduce((sum, x) => sum + (x - mx) ** 2, 0);
}

/** One line of the table of figures, with the table of sizes it stands on. */
export function growthFigure(growing: Growing): Figure {
  const { id, what, law, sizes, costs, unit, one, points, note } = growing;
  if (points.length < LEAST_SIZES) throw new RangeError(`${what}: ${points.length} sizes are too few`);
  const limit = law === 'linear' ? LINEAR : CONSTANT;
  const fit = growthExponent(points);
  const last = growthExponent(points.slice(-2));
  const isMet = fit <= limit && last <= limit + LAST_STEP_MORE;
  const [first, end] = [points[0]!, points.at(-1)!];
  return {
    id,
    what,
    goal: `${law}: exponent ≤ ${limit}`,
    ratio: null,
    subject: `exponent ${fit.toFixed(2)}, last step ${last.toFixed(2)}`,
    baseline: `${label(first)} to ${label(end)} ${sizes}`,
    verdict: isMet ? 'met' : 'missed',
    ...(note === undefined ? {} : { note }),
    table: {
      caption: `${id}, ${what}: cost grows with size to the power ${fit.toFixed(2)}, ×${(2 ** fit).toFixed(2)} for a doubling.`,
      head: [
        sizes,
        costs,
        ...(one === undefined ? [] : [`${costs} for ${one}`]),
        'exponent from the row above',
      ],
      rows: points.map((point, i) => [
        label(point),
        show(point.cost, unit),
        ...(one === undefined ? [] : [show(point.cost / point.size, unit)]),
        i === 0 ? '–' : growthExponent(points.slice(i - 1, i + 1)).toFixed(2),
      ]),
    },
  };
}

const label = ({ size, label: text }: GrowthPoint): string => text ?? String(size);
