/** What can be followed over joints: pass means, and how the sides of a joint closed. */
export const OVER_QUANTITIES = [
  'weldingCurrent',
  'arcVoltage',
  'wireFeedSpeed',
  'travelSpeed',
  'arcEnergy',
  'runOutLengthMm',
  'closure',
] as const;
export type OverQuantity = (typeof OVER_QUANTITIES)[number];
