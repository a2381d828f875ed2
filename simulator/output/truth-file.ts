import type { RigFrame } from '../rig/rig-frame.ts';

const COLUMNS = [
  'tUs',
  'phase',
  'currentA',
  'voltageV',
  'powerW',
  'feedMmS',
  'travelMmS',
  'alongMm',
  'ctwdMm',
  'arcLengthMm',
  'gasLPerMin',
  'temperatureCel',
] as const;

export const TRUTH_HEADER = `${COLUMNS.join(',')}\n`;

/** What truly was in one frame, as a line of comma-separated values at fixed decimals. */
export function truthLine(frame: RigFrame): string {
  const { truth } = frame;
  const values = [
    truth.currentA.toFixed(2),
    truth.voltageV.toFixed(3),
    truth.powerW.toFixed(1),
    truth.feedMmS.toFixed(3),
    truth.travelMmS.toFixed(4),
    truth.alongMm.toFixed(3),
    truth.ctwdMm.toFixed(3),
    truth.arcLengthMm.toFixed(3),
    truth.gasLPerMin.toFixed(2),
    truth.temperatureCel.toFixed(2),
  ];
  return `${frame.startUs},${frame.phase},${values.join(',')}\n`;
}
