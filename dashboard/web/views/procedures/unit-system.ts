import { type Signal, signal } from '@preact/signals';
import { LIMIT_UNITS, type LimitedQuantity } from '#core/procedure/limit-units';

/** In which units this device shows and offers; stored is always SI. */
export const UNIT_SYSTEMS = ['metric', 'inch'] as const;
export type UnitSystem = (typeof UNIT_SYSTEMS)[number];

/** Units a limit may be entered in: metric first, then inch, then others. */
const SPEEDS = ['mm/s', 'mm/min', 'm/min', '[in_i]/min'];
export const LIMIT_UNIT_CHOICES: Readonly<Record<LimitedQuantity, readonly string[]>> = {
  weldingCurrent: ['A'],
  arcVoltage: ['V'],
  wireFeedSpeed: SPEEDS,
  travelSpeed: SPEEDS,
  arcEnergy: ['kJ/mm', 'kJ/[in_i]', 'J/[in_i]'],
  heatInput: ['kJ/mm', 'kJ/[in_i]', 'J/[in_i]'],
  gasFlow: ['L/min', '[cft_i]/h'],
  preheatTemperature: ['Cel', '[degF]'],
  interpassTemperature: ['Cel', '[degF]'],
  contactTipToWorkDistance: ['mm', '[in_i]'],
  oscillationWidth: ['mm', '[in_i]'],
  oscillationFrequency: ['Hz', '1/min'],
  timeBetweenPasses: ['s', 'min'],
};

const INCH: Readonly<Partial<Record<LimitedQuantity, string>>> = {
  wireFeedSpeed: '[in_i]/min',
  travelSpeed: '[in_i]/min',
  arcEnergy: 'kJ/[in_i]',
  heatInput: 'kJ/[in_i]',
  gasFlow: '[cft_i]/h',
  preheatTemperature: '[degF]',
  interpassTemperature: '[degF]',
  contactTipToWorkDistance: '[in_i]',
  oscillationWidth: '[in_i]',
};

/** The unit a limit is shown and offered in. */
export function shownUnit(quantity: LimitedQuantity, system: UnitSystem): string {
  if (system === 'inch') return INCH[quantity] ?? LIMIT_UNITS[quantity];
  return quantity === 'wireFeedSpeed' ? 'm/min' : LIMIT_UNITS[quantity];
}

export const lengthUnit = (system: UnitSystem): string => (system === 'inch' ? '[in_i]' : 'mm');

const KEY = 'girthlog.units';
const read = (): UnitSystem => {
  try {
    return localStorage.getItem(KEY) === 'inch' ? 'inch' : 'metric';
  } catch {
    return 'metric';
  }
};

let chosen: Signal<UnitSystem> | null = null;

/** The choice of this device, read once the page runs. */
export function unitSystem(): Signal<UnitSystem> {
  chosen ??= signal(read());
  return chosen;
}

export function setUnitSystem(system: UnitSystem): void {
  unitSystem().value = system;
  try {
    localStorage.setItem(KEY, system);
  } catch {
    // Storage is switched off: the choice lasts as long as the page.
  }
}
