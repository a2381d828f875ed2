/** What can be wrong in a lesson, by the simulator's name: in words, and the unit of its size (null: it has none). */
const FAULTS: Readonly<Record<string, readonly [words: string, unit: string | null]>> = {
  stickOutGrowth: ['stick-out grows', 'mm'],
  wornTip: ['worn contact tip', 'mm'],
  feedOffset: ['wire feed set off', '%'],
  voltageOffset: ['voltage set off', 'V'],
  wireSize: ['another wire diameter', 'mm'],
  wireSlip: ['rolls slip on the wire', '%'],
  travelOffset: ['travel set off', '%'],
  travelSlip: ['carriage slips', '%'],
  badEarth: ['bad earth clamp', 'mΩ'],
  gasLost: ['shielding gas is lost', '%'],
  draught: ['draught at the arc', '%'],
  wrongPass: ['program of another pass', null],
  sensorDrift: ['a sensor drifts', '%'],
  heldValue: ['last reading repeated', null],
  stopRestart: ['arc stops, is restarted', 's'],
  wrongTap: ['voltage tapped at the source', null],
  weaveWidth: ['torch swings wider', '%'],
  deviceSilent: ['device sends nothing', null],
  lateStart: ['crew begins late', 's'],
};

/** "stick-out grows, 5 mm"; a fault that is not known is given by its name. */
export function faultWords(fault: string, size: number): string {
  const known = FAULTS[fault];
  if (known === undefined) return `${fault} ${size}`;
  const [words, unit] = known;
  return unit === null ? words : `${words}, ${size} ${unit}`.replace(' -', ' −');
}
