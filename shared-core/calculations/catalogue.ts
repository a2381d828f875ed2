import type { Calculation } from './calculation.ts';
import { CHECK_CALCULATIONS } from './check-calculations.ts';
import { DRIFT_CALCULATIONS } from './drift-calculations.ts';
import { ENERGY_CALCULATIONS } from './energy-calculations.ts';
import { GROOVE_CALCULATIONS } from './groove-calculations.ts';
import { HEAT_CALCULATIONS } from './heat-calculations.ts';
import { METAL_CALCULATIONS } from './metal-calculations.ts';
import { POSITION_CALCULATIONS } from './position-calculations.ts';

/** Every calculation a person can ask for: the command line, the screen and docs/calculations.md are made from it. */
export const CATALOGUE: readonly Calculation[] = [
  ...CHECK_CALCULATIONS,
  ...ENERGY_CALCULATIONS,
  ...POSITION_CALCULATIONS,
  ...METAL_CALCULATIONS,
  ...GROOVE_CALCULATIONS,
  ...HEAT_CALCULATIONS,
  ...DRIFT_CALCULATIONS,
];

export const calculationNamed = (name: string): Calculation | null =>
  CATALOGUE.find(entry => entry.name === name) ?? null;
