import type { Texts } from './en.ts';
import { esAccounts } from './es-accounts.ts';
import { esAlarms } from './es-alarms.ts';
import { esChanges } from './es-changes.ts';
import { esDispositions } from './es-dispositions.ts';
import { esExport } from './es-export.ts';
import { esJointEntries } from './es-joint-entries.ts';
import { esJoints } from './es-joints.ts';
import { esLive } from './es-live.ts';
import { esProcedures } from './es-procedures.ts';
import { esReady } from './es-ready.ts';
import { esReview } from './es-review.ts';
import { esRigEvents } from './es-rig-events.ts';
import { esScreens } from './es-screens.ts';
import { esSettings } from './es-settings.ts';
import { esShift } from './es-shift.ts';
import { esSums } from './es-sums.ts';
import { esTraining } from './es-training.ts';
import { esTrendAt, esTrends } from './es-trends.ts';
import { esTruck } from './es-truck.ts';
import { esVerify } from './es-verify.ts';
import { esWork } from './es-work.ts';

/** The Spanish catalogue: exactly the keys of the English one, or it does not compile. */
export const es: Texts = {
  ...esLive,
  language: 'es',
  work: esWork,
  alarms: esAlarms,
  trends: esTrends,
  training: esTraining,
  trendAt: esTrendAt,
  truck: esTruck,
  verify: esVerify,
  ready: esReady,
  joints: esJoints,
  jointEntries: esJointEntries,
  dispositions: esDispositions,
  export: esExport,
  rigEvents: esRigEvents,
  screens: esScreens,
  settings: esSettings,
  accounts: esAccounts,
  shift: esShift,
  sums: esSums,
  changes: esChanges,
  review: esReview,
  procedures: esProcedures,
};
