import { type Answer, outOfRange, POSITIVE, type Range, value } from '../calculations/answer.ts';

/**
 * Cooling time from 800 to 500 °C (t8/5). Source: EN 1011-2:2001+A1:2003 Annex D.6, for unalloyed and low-alloy ferritic steel.
 * Q is the heat input in kJ/mm with k = 0.85 for MIG/MAG and MMA here, 1.0 for SAW: not the 0.8 of EN 1011-1.
 */
export const COOLING_THERMAL_EFFICIENCY = 0.85;

/** F2 (thin, two-dimensional) and F3 (thick, three-dimensional) by joint. EN 1011-2 Annex D; the fillet's F3 from memory. */
export const SHAPE_FACTORS = {
  'run on plate': { f2: 1, f3: 1 },
  'between runs in a butt weld': { f2: 0.9, f3: 0.9 },
  'single run fillet, corner joint': { f2: 0.9, f3: 0.67 },
  'single run fillet, T-joint': { f2: 0.45, f3: 0.67 },
} as const;
export type JointShape = keyof typeof SHAPE_FACTORS;

/** The formulas divide by 500 − T0 and stop meaning anything as T0 nears 500 °C. */
const START: Range = { min: -50, max: 450 };
const HEAT: Range = { min: 0, max: 20, above: true };
const FACTOR: Range = { min: 0, max: 1, above: true };

/**
 * Thick plate: t8/5 = (6700 − 5·T0)·Q·[1/(500 − T0) − 1/(800 − T0)]·F3, s from °C and kJ/mm.
 * Errors: out of range unless −50 ≤ T0 ≤ 450 °C and 0 < Q ≤ 20 kJ/mm.
 */
export function coolingTimeThick(heatInputKjPerMm: number, startCel: number, f3 = 1): Answer {
  return (
    outOfRange(
      ['heat input', heatInputKjPerMm, 'kJ/mm', HEAT],
      ['start temperature', startCel, 'Cel', START],
      ['shape factor F3', f3, '1', FACTOR],
    ) ?? value((6700 - 5 * startCel) * heatInputKjPerMm * (1 / (500 - startCel) - 1 / (800 - startCel)) * f3)
  );
}

const thinPerSquare = (startCel: number): number =>
  (4300 - 4.3 * startCel) * 1e5 * (1 / (500 - startCel) ** 2 - 1 / (800 - startCel) ** 2);

/**
 * Thin plate: t8/5 = (4300 − 4.3·T0)·10⁵·Q²/d²·[1/(500 − T0)² − 1/(800 − T0)²]·F2, s from °C, kJ/mm and mm.
 * Errors: as for thick, and d > 0.
 */
export function coolingTimeThin(
  heatInputKjPerMm: number,
  startCel: number,
  thicknessMm: number,
  f2 = 1,
): Answer {
  return (
    outOfRange(
      ['heat input', heatInputKjPerMm, 'kJ/mm', HEAT],
      ['start temperature', startCel, 'Cel', START],
      ['thickness', thicknessMm, 'mm', POSITIVE],
      ['shape factor F2', f2, '1', FACTOR],
    ) ?? value(thinPerSquare(startCel) * (heatInputKjPerMm / thicknessMm) ** 2 * f2)
  );
}

export interface CoolingTime {
  /** The larger of the two: the one that holds. */
  readonly seconds: number;
  readonly flow: 'thick' | 'thin';
  readonly thickS: number;
  readonly thinS: number;
  /** Thickness at which both are equal, mm; thicker plate cools as thick. */
  readonly transitionMm: number;
}

/** Both forms, the larger holds, and the transition thickness where they meet. Errors: as for the two forms. */
export function coolingTime(input: {
  readonly heatInputKjPerMm: number;
  readonly startCel: number;
  readonly thicknessMm: number;
  readonly f2?: number;
  readonly f3?: number;
}): Answer<CoolingTime> {
  const { heatInputKjPerMm, startCel, thicknessMm, f2 = 1, f3 = 1 } = input;
  const thick = coolingTimeThick(heatInputKjPerMm, startCel, f3);
  if (thick.kind === 'outOfRange') return thick;
  const thin = coolingTimeThin(heatInputKjPerMm, startCel, thicknessMm, f2);
  if (thin.kind === 'outOfRange') return thin;
  const transitionMm = Math.sqrt((thinPerSquare(startCel) * heatInputKjPerMm ** 2 * f2) / thick.value);
  return value({
    seconds: Math.max(thick.value, thin.value),
    flow: thick.value >= thin.value ? 'thick' : 'thin',
    thickS: thick.value,
    thinS: thin.value,
    transitionMm,
  });
}
