/** English: moving between screens. */
export const enScreens = {
  label: 'Screens',
  live: 'Live',
  alarms: 'Alarms',
  ready: 'Ready',
  joints: 'Joints',
  changes: 'Changes',
  shift: 'Shift',
  procedures: 'Procedures',
  sums: 'Sums',
  training: 'Training',
  newer: 'The dashboard has a newer version of this page.',
  loadNewer: 'Load it now',
};
