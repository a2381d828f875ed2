/** Which roles may do what: the one place that says so. Accounts will ask here too. */
import type { Person } from '#core/messages/api';

const MAY = {
  /** Say what becomes of a joint. */
  disposition: ['inspector', 'reviewer'],
  /** Set a passphrase for somebody else, who has forgotten theirs. */
  resetPassphrase: ['administrator'],
  /** Say that an alarm was seen, let go of it, put it aside for a while. */
  answerAlarm: ['weldSetter', 'inspector', 'reviewer', 'trainer', 'administrator'],
  /** Take an alarm out of service, which has no end of its own. */
  alarmService: ['inspector', 'administrator'],
  /** Trust a key that a rig’s own has not announced. */
  acceptSealKey: ['inspector', 'administrator'],
} as const satisfies Record<string, readonly Person['roles'][number][]>;

export type Act = keyof typeof MAY;

export function mayDo(person: Person, act: Act): boolean {
  const roles: readonly string[] = MAY[act];
  return person.roles.some(role => roles.includes(role));
}

export function rolesFor(act: Act): readonly string[] {
  return MAY[act];
}
