/** The quantities a WPS may limit, with the unit their limits are stored in. */
export const LIMIT_UNITS = {
  weldingCurrent: 'A',
  arcVoltage: 'V',
  wireFeedSpeed: 'mm/s',
  travelSpeed: 'mm/s',
  arcEnergy: 'kJ/mm',
  heatInput: 'kJ/mm',
  gasFlow: 'L/min',
  preheatTemperature: 'Cel',
  interpassTemperature: 'Cel',
  contactTipToWorkDistance: 'mm',
  oscillationWidth: 'mm',
  oscillationFrequency: 'Hz',
  timeBetweenPasses: 's',
} as const;

export type LimitedQuantity = keyof typeof LIMIT_UNITS;
export const LIMITED_QUANTITIES = Object.keys(LIMIT_UNITS) as readonly LimitedQuantity[];
