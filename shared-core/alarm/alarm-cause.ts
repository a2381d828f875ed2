import { EDGE_CAUSES } from '../messages/alarms.ts';
import { TRUCK_CAUSES } from '../messages/truck.ts';

/** What an alarm can be about: an edge's own, the links and the intake as the dashboard sees them, the truck's. */
export const ALARM_CAUSES = [
  ...EDGE_CAUSES,
  'edgeLost',
  'brokerLost',
  'intakeTrouble',
  'machineTrouble',
  ...TRUCK_CAUSES,
] as const;
export type AlarmCause = (typeof ALARM_CAUSES)[number];

const OF_PASS: ReadonlySet<AlarmCause> = new Set(['outOfRange', 'passMismatch', 'drifting', 'noDataWithArc']);
const OF_WELD: ReadonlySet<AlarmCause> = new Set(['outOfRange', 'passMismatch', 'drifting']);

/** Announced once for a side, a pass and this cause. */
export const isOfPass = (cause: AlarmCause): boolean => OF_PASS.has(cause);

/** Says nothing while there is no arc to judge: suppressed by design at arc off, start and stop. */
export const isOfWeld = (cause: AlarmCause): boolean => OF_WELD.has(cause);

/** Weld that has just begun or ended says little of the setting, ms. */
export const START_MS = 2000;
export const STOP_MS = 1000;
