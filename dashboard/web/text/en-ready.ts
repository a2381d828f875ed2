const plural = new Intl.PluralRules('en');

/** English: readiness of every rig at the start of a shift. */
export const enReady = {
  title: 'Ready for the shift',
  open: 'Readiness of all rigs',
  allReady: (n: number) =>
    plural.select(n) === 'one' ? 'The one rig is ready.' : `All ${n} rigs are ready.`,
  someNot: (not: number, all: number) =>
    plural.select(not) === 'one' ? `1 rig of ${all} is not ready.` : `${not} rigs of ${all} are not ready.`,
  notLocked:
    'Nobody is locked out and no rig is stopped: one that is not ready is recorded all the same, and every pass it makes carries what was missing.',
  notAcceptance: 'Ready means the checks are done. It is not acceptance, and not a permit to work.',
  asOf: (when: string, zone: string) => `As of ${when}, ${zone}.`,
  stale: (when: string) =>
    `No connection to the dashboard server since ${when}: this is what was last known.`,
  loading: 'Loading …',
  failed: (detail: string) => `Readiness could not be loaded: ${detail}`,
  noRigs: 'No rig has reported to this dashboard yet.',
  unknown: 'What this rig has and lacks is not known here.',
  missingTitle: 'Missing',
  nothingMissing: 'Nothing is missing.',
  checksTitle: 'Checks',
  columns: { check: 'check', state: 'state', last: 'last done', until: 'good until' },
  noInterval: 'no end set',
  carriage: 'Carriage',
  carriageNone: 'not said',
  carriageChange: 'Name the carriage',
  carriageName: 'Carriage',
  carriageHint: 'Letters, digits and hyphens. Torches of one carriage share its name.',
  carriageWrong: 'Use letters a to z, digits and hyphens.',
  carriageWho: 'Who says so',
  carriageWhoWrong: 'Choose or enter who says so.',
  carriageSave: 'Save the carriage',
  clock: 'Clock',
  clockNone: 'nothing arrives from this rig',
  clockOffset: (ms: string) => `${ms} ms from the dashboard`,
  corrections: 'Corrections in force',
  work: 'Work',
  checkRig: (rig: string) => `Checks of ${rig}`,
  print: 'Print this page',
  printed: (when: string) => `Printed ${when}.`,
  signature: 'Name, signature, time',
};
