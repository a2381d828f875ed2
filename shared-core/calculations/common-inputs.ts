import type { Answer } from './answer.ts';
import type { NumberInput } from './calculation.ts';

/**
 * Inputs that many calculations share. Ranges are what a girth-welding rig can plausibly show: beyond them a value is a slip, and one
 * sentence says so. They are not limits of any procedure.
 */
const number = (
  label: string,
  unit: string,
  min: number,
  max: number,
  also?: readonly string[],
): NumberInput => ({
  kind: 'number',
  label,
  unit,
  range: { min, max },
  ...(also === undefined ? {} : { also }),
});

const above = (input: NumberInput): NumberInput => ({ ...input, range: { ...input.range, above: true } });

export const INPUT = {
  voltage: number('arc voltage', 'V', 0, 100),
  current: number('welding current', 'A', 0, 2000),
  travel: above(number('travel speed', 'mm/s', 0, 200, ['mm/min', 'cm/min', '[in_i]/min'])),
  wireFeed: above(number('wire feed speed', 'mm/s', 0, 1000, ['m/min', '[in_i]/min'])),
  wireDiameter: above(number('wire diameter', 'mm', 0, 5, ['[in_i]'])),
  efficiency: { ...above(number('deposition efficiency', '1', 0, 1, ['%'])), fallback: 0.96 },
  thermalEfficiency: above(number('thermal efficiency k', '1', 0, 1)),
  arcEnergy: number('arc energy', 'kJ/mm', 0, 50, ['kJ/[in_i]', 'J/[in_i]']),
  heatInput: above(number('heat input', 'kJ/mm', 0, 50, ['kJ/[in_i]', 'J/[in_i]'])),
  arcTime: number('arc time', 's', 0, 1e6, ['min', 'h']),
  length: above(number('run-out length', 'mm', 0, 1e6, ['m', '[in_i]'])),
  outsideDiameter: above(number('outside diameter', 'mm', 0, 5000, ['[in_i]'])),
  wall: above(number('wall thickness', 'mm', 0, 200, ['[in_i]'])),
  tipDistance: number('contact tip to work distance', 'mm', 0, 60, ['[in_i]']),
  depositArea: number('deposit area', 'mm2', 0, 5000),
  travelUncertainty: { ...number('standard uncertainty of travel', '%', 0, 50), fallback: 2 },
} as const satisfies Record<string, NumberInput>;

/** A number input of a calculation's own. */
export const input = number;
/** The same with its lower end excluded. */
export const inputAbove = (
  label: string,
  unit: string,
  min: number,
  max: number,
  also?: readonly string[],
): NumberInput => above(number(label, unit, min, max, also));

/** One number under one name. */
export function named<K extends string>(
  key: K,
  answer: Answer,
):
  | { readonly kind: 'value'; readonly value: Readonly<Record<K, number>> }
  | Exclude<Answer, { kind: 'value' }> {
  if (answer.kind === 'outOfRange') return answer;
  return { kind: 'value', value: { [key]: answer.value } as Record<K, number> };
}

/** Standing cautions, in the same words everywhere. */
export const CAUTION = {
  notAcceptance:
    'A number is not acceptance: the code, the procedure and qualified, authorised persons decide. Example values are not a procedure.',
  movingCarriage:
    'The carriage moves during the run: keep hands, hoses and cables clear, and make sure the arc cannot start. The logger does not stop it.',
  feedingWire:
    'Wire comes out of the tip: point the torch away from people, wear eye protection, and make sure the arc cannot start.',
  liveCircuit:
    'Sensor taps and meters sit on the welding circuit: isolated instruments, fused taps, qualified persons only.',
  hotPipe:
    'Preheated pipe burns: measure with the torch away, and keep to the procedure’s own minimum where it is higher.',
  cylinders:
    'Change cylinders only when they are secured and closed; shielding gas displaces air in low and closed places.',
  sign: 'A sign to look for the cause, never a verdict on the weld.',
} as const;
