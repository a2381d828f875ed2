import { computed } from '@preact/signals';
import { LIMIT_UNITS, type LimitedQuantity } from '#core/procedure/limit-units';
import { shownUnitOf, type UnitSystem } from '#core/units/shown-units';
import { manner } from '../../text/text.ts';

export type { UnitSystem };

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

/** The unit a limit is shown and offered in. */
export const shownUnit = (quantity: LimitedQuantity, system: UnitSystem): string =>
  shownUnitOf(system, quantity)?.code ?? LIMIT_UNITS[quantity];

export const lengthUnit = (system: UnitSystem): string => (system === 'inch' ? '[in_i]' : 'mm');

const chosen = computed(() => manner.value.units);

/** The choice of this device. */
export const unitSystem = (): { readonly value: UnitSystem } => chosen;
