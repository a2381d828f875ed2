/** What a trainer can put in: the simulator's name, the unit of its size as shown, a size to begin with. */
export interface FaultKind {
  readonly name: string;
  /** Null: it has no size, and 1 is sent. */
  readonly unit: string | null;
  readonly size: string;
}

/** Names and units are those of docs/simulator.md; sizes to begin with are common practice, no source. */
export const FAULT_KINDS: readonly FaultKind[] = [
  { name: 'stickOutGrowth', unit: 'mm', size: '5' },
  { name: 'wornTip', unit: 'mm', size: '3' },
  { name: 'feedOffset', unit: '%', size: '-12' },
  { name: 'voltageOffset', unit: 'V', size: '2' },
  { name: 'wireSlip', unit: '%', size: '10' },
  { name: 'wireSize', unit: 'mm', size: '1.2' },
  { name: 'travelOffset', unit: '%', size: '14' },
  { name: 'travelSlip', unit: '%', size: '10' },
  { name: 'badEarth', unit: 'mΩ', size: '8' },
  { name: 'gasLost', unit: '%', size: '60' },
  { name: 'draught', unit: '%', size: '60' },
  { name: 'weaveWidth', unit: '%', size: '30' },
  { name: 'wrongPass', unit: null, size: '1' },
  { name: 'sensorDrift', unit: '%', size: '5' },
  { name: 'heldValue', unit: null, size: '1' },
  { name: 'deviceSilent', unit: null, size: '1' },
  { name: 'stopRestart', unit: 's', size: '5' },
  { name: 'wrongTap', unit: null, size: '1' },
];

/** Of a timetable, so that it cannot be put into a pass that runs; a lesson may still have it. */
const OF_LESSONS: readonly FaultKind[] = [{ name: 'lateStart', unit: 's', size: '10' }];

export const faultKind = (name: string): FaultKind | undefined =>
  [...FAULT_KINDS, ...OF_LESSONS].find(kind => kind.name === name);
