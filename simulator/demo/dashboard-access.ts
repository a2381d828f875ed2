import { randomBytes } from 'node:crypto';
import type { Person } from '#core/messages/api';
import type { Right } from '#core/messages/api-account';
import { PROGRAM_NAME_ENV, PROGRAM_RIGHTS_ENV, PROGRAM_TOKEN_ENV } from '#core/program/program-token';
import { takeSecret } from './load-config.ts';

/** What the demo and the training do at the dashboard: names, a procedure, work, and links for people. */
const RIGHTS: readonly Right[] = ['read', 'enter', 'manageAccounts'];

/** Everything there is to try out. */
export const ALL_ROLES: Person['roles'] = ['weldSetter', 'inspector', 'reviewer', 'trainer', 'administrator'];

export interface DashboardAccess {
  readonly token: string;
  /** For the dashboard alone. */
  readonly env: Readonly<Record<string, string>>;
}

/** The secret that this program and its dashboard share: as the environment gives it, else a fresh one. */
export function dashboardAccess(name: string): DashboardAccess {
  const token = takeSecret(PROGRAM_TOKEN_ENV) ?? randomBytes(24).toString('base64url');
  return {
    token,
    env: {
      [PROGRAM_TOKEN_ENV]: token,
      [PROGRAM_NAME_ENV]: name,
      [PROGRAM_RIGHTS_ENV]: RIGHTS.join(','),
    },
  };
}
