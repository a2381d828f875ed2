import type { SetPoint } from '../rig/set-point.ts';

/**
 * Example set-points for a 610 mm pipe of 15.9 mm wall, 1.0 mm wire: root, hot, three fills and a cap.
 * Example only, not a welding procedure. Current is not set: it follows from feed and stick-out by the
 * burn-off relation (180, 255, 236 and 185 A).
 */
const metresPerMinute = (feed: number) => (feed * 1000) / 60;

const common = { wireDiameterMm: 1, ctwdMm: 12, oscillationWidthMm: 0, oscillationHz: 0, gasLPerMin: 22 };
const fill = {
  ...common,
  type: 'fill',
  wireFeedMmS: metresPerMinute(10.27),
  tipVoltageV: 24,
  travelMmS: 7.5,
  transfer: 'spray',
} as const;

export const EXAMPLE_PASSES: readonly SetPoint[] = [
  {
    ...common,
    name: 'root',
    type: 'root',
    program: 1,
    wireFeedMmS: metresPerMinute(6.88),
    tipVoltageV: 19.5,
    travelMmS: 11.5,
    ctwdMm: 11,
    transfer: 'dip',
  },
  {
    ...common,
    name: 'hot',
    type: 'hot',
    program: 2,
    wireFeedMmS: metresPerMinute(11.46),
    tipVoltageV: 24,
    travelMmS: 17.5,
    transfer: 'spray',
  },
  { ...fill, name: 'fill 1', program: 3, oscillationWidthMm: 3, oscillationHz: 2.5 },
  { ...fill, name: 'fill 2', program: 4, oscillationWidthMm: 4, oscillationHz: 2.25 },
  { ...fill, name: 'fill 3', program: 5, oscillationWidthMm: 5, oscillationHz: 2 },
  {
    ...common,
    name: 'cap',
    type: 'cap',
    program: 6,
    wireFeedMmS: metresPerMinute(7.35),
    tipVoltageV: 21,
    travelMmS: 5.5,
    oscillationWidthMm: 8,
    oscillationHz: 1.75,
    transfer: 'dip',
  },
];
