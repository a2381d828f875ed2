import { converter } from './ucum.ts';
import { unitLabel } from './unit-label.ts';

/** The two ways of units that people read: SI as stored, or the units of US crews. */
export const UNIT_SYSTEMS = ['metric', 'inch'] as const;
export type UnitSystem = (typeof UNIT_SYSTEMS)[number];

/** Stored unit; then the unit and the decimals shown in each system. All codes are UCUM. */
type Row = readonly [stored: string, metric: readonly [string, number], inch: readonly [string, number]];

/**
 * How each quantity is shown. What crews write has no standard: m/min and mm/s, in/min and ft³/h are common practice,
 * no source; kJ/mm and kJ/in are the units of the codes' heat-input formulas (EN 1011-1; ASME IX QW-409.1 uses J/in).
 * Decimals are such that one step is below what the instruments of a rig resolve.
 */
const ROWS = {
  weldingCurrent: ['A', ['A', 0], ['A', 0]],
  arcVoltage: ['V', ['V', 1], ['V', 1]],
  wireFeedSpeed: ['mm/s', ['m/min', 1], ['[in_i]/min', 0]],
  travelSpeed: ['mm/s', ['mm/s', 1], ['[in_i]/min', 1]],
  power: ['W', ['kW', 2], ['kW', 2]],
  arcEnergy: ['kJ/mm', ['kJ/mm', 2], ['kJ/[in_i]', 1]],
  heatInput: ['kJ/mm', ['kJ/mm', 2], ['kJ/[in_i]', 1]],
  gasFlow: ['L/min', ['L/min', 1], ['[cft_i]/h', 0]],
  preheatTemperature: ['Cel', ['Cel', 0], ['[degF]', 0]],
  interpassTemperature: ['Cel', ['Cel', 0], ['[degF]', 0]],
  contactTipToWorkDistance: ['mm', ['mm', 1], ['[in_i]', 2]],
  oscillationWidth: ['mm', ['mm', 1], ['[in_i]', 2]],
  oscillationFrequency: ['Hz', ['Hz', 1], ['Hz', 1]],
  timeBetweenPasses: ['s', ['s', 0], ['s', 0]],
  /** A place or a length along the weld. */
  length: ['mm', ['mm', 0], ['[in_i]', 1]],
  /** Depths, heights, diameters, walls. */
  size: ['mm', ['mm', 1], ['[in_i]', 3]],
  area: ['mm2', ['mm2', 1], ['[in_i]2', 3]],
  wireLength: ['m', ['m', 0], ['[ft_i]', 0]],
  wireMass: ['kg', ['kg', 2], ['[lb_av]', 2]],
  /** Of a spool of wire. */
  spoolMass: ['kg', ['kg', 1], ['[lb_av]', 1]],
  depositionRate: ['kg/h', ['kg/h', 2], ['[lb_av]/h', 2]],
  gasVolume: ['L', ['L', 0], ['[cft_i]', 1]],
} as const satisfies Record<string, Row>;
export type ShownQuantity = keyof typeof ROWS;

export interface ShownUnit {
  /** UCUM codes: as stored, as shown. */
  readonly stored: string;
  readonly code: string;
  /** The shown unit as people write it. */
  readonly unit: string;
  readonly decimals: number;
  /** From the stored unit to the shown one, and back. */
  readonly shown: (stored: number) => number;
  readonly toStored: (shown: number) => number;
}

const tableOf = (system: UnitSystem): Readonly<Record<ShownQuantity, ShownUnit>> =>
  Object.fromEntries(
    Object.entries(ROWS).map(([quantity, [stored, metric, inch]]) => {
      const [code, decimals] = system === 'metric' ? metric : inch;
      const shown: ShownUnit = {
        stored,
        code,
        unit: unitLabel(code),
        decimals,
        shown: converter(stored, code),
        toStored: converter(code, stored),
      };
      return [quantity, shown];
    }),
  ) as unknown as Readonly<Record<ShownQuantity, ShownUnit>>;

const TABLES: Readonly<Record<UnitSystem, Readonly<Record<ShownQuantity, ShownUnit>>>> = {
  metric: tableOf('metric'),
  inch: tableOf('inch'),
};

/** The units of one system, by quantity. */
export const shownUnits = (system: UnitSystem): Readonly<Record<ShownQuantity, ShownUnit>> => TABLES[system];

/** The unit of a quantity by its name; null for one that is not in the table. */
export const shownUnitOf = (system: UnitSystem, quantity: string): ShownUnit | null =>
  Object.hasOwn(TABLES[system], quantity) ? TABLES[system][quantity as ShownQuantity] : null;
