/** What an alarm can be about. The first eight are an edge's own (messages/alarms.ts), the rest the dashboard's. */
export const ALARM_CAUSES = [
  'outOfRange',
  'passMismatch',
  'drifting',
  'noDataWithArc',
  'recordingFailed',
  'buffering',
  'storage',
  'clock',
  'edgeLost',
  'brokerLost',
  'intakeTrouble',
  'storeDamaged',
  'storeFull',
  'storeBlocked',
  'sealKeyRefused',
  'diskSpace',
  'logLarge',
  'backupOld',
  'backupFailed',
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
