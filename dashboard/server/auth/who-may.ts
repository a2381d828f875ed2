/** Which roles may do what: the one place that says so. */
import { peopleRoles } from '#core/messages/account-rules';
import type { Person } from '#core/messages/api';
import type { Right } from '#core/messages/api-account';

type Role = Person['roles'][number];

const EVERYBODY: readonly Role[] = peopleRoles;
/** Everybody but who only looks. */
const CREW: readonly Role[] = peopleRoles.filter(role => role !== 'viewer');

const MAY: Readonly<Record<Right, readonly Role[]>> = {
  /** Look at everything but accounts. */
  read: EVERYBODY,
  /** Ask for a long computation that stores nothing. */
  compute: EVERYBODY,
  /** Have an archive made. */
  export: CREW,
  /** Enter what was done: assignments, journal, procedures that are not approved yet, names. */
  enter: CREW,
  /** Say that a procedure may be used, or no longer. */
  approveProcedure: ['inspector', 'reviewer', 'administrator'],
  /** Say that an alarm was seen, let go of it, put it aside for a while. */
  answerAlarm: CREW,
  /** Take an alarm out of service, which has no end of its own. */
  alarmService: ['inspector', 'administrator'],
  /** Say what becomes of a joint. */
  disposition: ['inspector', 'reviewer'],
  /** Trust a key that a rig’s own has not announced. */
  acceptSealKey: ['inspector', 'administrator'],
  /** Set a passphrase for somebody else, who has forgotten theirs. */
  resetPassphrase: ['administrator'],
  /** Open accounts, change roles, give codes, withdraw, end sessions. */
  manageAccounts: ['administrator'],
  /** Make codes that enrol a board, and take back what one may. */
  manageMachines: ['administrator'],
  readAudit: ['administrator'],
  /** One's own passphrase and sessions. */
  ownAccount: EVERYBODY,
  /** Steer lessons and see what was wrong in them; who shows the trainer's key may as well. */
  train: ['trainer'],
  /** Mark and rate in a lesson: it moves no rig. */
  trainAlong: EVERYBODY,
};

/** Rights that a session keeps when nothing was done with it for a while. */
export const WHILE_IDLE: ReadonlySet<Right> = new Set(['read', 'compute']);

export const RIGHTS = Object.keys(MAY) as readonly Right[];

export function mayDo(person: Person, right: Right): boolean {
  return person.roles.some(role => MAY[right].includes(role));
}

export function rolesFor(right: Right): readonly string[] {
  return MAY[right];
}

export function rightsOf(person: Person): Right[] {
  return RIGHTS.filter(right => mayDo(person, right));
}
