import { formats } from './format.ts';

const { plural } = formats('en');

/** English: taking records out of the system, one joint or a day. */
export const enExport = {
  title: 'Export',
  note: (zone: string) =>
    `Report, tables, data, samples and the signed record as they stand now. Times are UTC${zone === 'UTC' ? '' : `, and ${zone} beside it`}.`,
  paper: 'Paper of the report',
  papers: { a4: 'A4', letter: 'Letter', both: 'both' },
  archive: 'Everything of this joint, one archive (ZIP)',
  report: 'Report (PDF)',
  tablesTitle: 'Tables (CSV) and data',
  passes: 'Passes',
  windows: 'Windows of 25 mm',
  deviations: 'Deviations and changes',
  events: 'Events',
  json: 'Data (JSON)',

  dayTitle: 'Export a day',
  day: 'Day',
  dayHint: (zone: string) => `Every joint with a pass that began on it, by the clock of ${zone}.`,
  dayMissing: 'Choose a day.',
  begin: 'Make the archive',
  cancel: 'Cancel it',
  fetch: (file: string) => `Save ${file}`,
  running: (what: string, done: number, total: number) =>
    `${what}: ${done} of ${plural(total, { one: 'joint', other: 'joints' })}.`,
  ofDay: (date: string) => `Joints of ${date}`,
  ofJoints: 'Chosen joints',
  done: (what: string, megabytes: string, until: string) =>
    `${what}: ready, ${megabytes} MB, kept until ${until}.`,
  state: {
    cancelled: (what: string) => `${what}: cancelled, nothing is kept.`,
    failed: (what: string, problem: string) => `${what}: not made. ${problem}`,
  },
  notReached: 'The dashboard server cannot be reached.',
};
