/** HTTP shapes of accounts, sessions and the log of what was done with them. */
import { z } from 'zod';
import { PASSPHRASE_LEAST, PASSPHRASE_MOST, peopleRoles, SIGN_IN_NAME } from './account-rules.ts';
import { personSchema } from './api.ts';
import { labelSchema, utcSchema } from './common.ts';

const idSchema = z.string().min(1).max(60);
const roleSchema = z.enum(peopleRoles);

/** What a person signs in by: small letters, digits, dots and hyphens. */
export const signInNameSchema = z
  .string()
  .trim()
  .toLowerCase()
  .regex(SIGN_IN_NAME, 'use 1 to 40 small letters, digits, "." and "-"');

/** A new passphrase: nothing is asked of it but its length, and that it is not one that everybody tries. */
export const newPassphraseText = z
  .string()
  .refine(text => [...text].length >= PASSPHRASE_LEAST, `at least ${PASSPHRASE_LEAST} characters`)
  .refine(text => [...text].length <= PASSPHRASE_MOST, `at most ${PASSPHRASE_MOST} characters`);
/** One that is tried; empty where none is given. */
export const triedPassphrase = z.string().max(4 * PASSPHRASE_MOST);

/** A code as it is printed or handed over; hyphens, spaces and small letters are read as well. */
const codeSchema = z.string().trim().min(1).max(80);

/** What a person may do here; the page hides nothing by it, it says beforehand what will be refused. */
export const rightSchema = z.enum([
  'read',
  'compute',
  'export',
  'enter',
  'approveProcedure',
  'answerAlarm',
  'alarmService',
  'disposition',
  'acceptSealKey',
  'resetPassphrase',
  'manageAccounts',
  'manageMachines',
  'readAudit',
  'ownAccount',
  'train',
  'trainAlong',
]);
export type Right = z.infer<typeof rightSchema>;

/**
 * GET /api/v1/session: who this browser is.
 * `setUp`: nobody can sign in yet, the code on the console makes the first administrator. `signedIn`: a session that
 * may do everything the person may. `idle`: nothing was done for a while, it reads on and enters nothing until the
 * person signs in again. `reading`: no session, but everybody may look. `signedOut`: no session.
 */
export const sessionStateSchema = z.strictObject({
  state: z.enum(['setUp', 'signedIn', 'idle', 'reading', 'signedOut']),
  person: personSchema.nullable(),
  signInName: z.string().nullable(),
  rights: z.array(rightSchema),
  /** Seconds until a session that does nothing may only read; null where there is none or it is so already. */
  idleInS: z.number().nullable(),
  /** Seconds until it ends whatever is done; null without one. */
  endsInS: z.number().nullable(),
  /** Everybody may look without signing in. */
  openReading: z.boolean(),
  /** This is a dashboard to try things out on, started with simulated rigs. */
  demo: z.boolean(),
});
export type SessionState = z.infer<typeof sessionStateSchema>;

/** POST /api/v1/session */
export const signInSchema = z.strictObject({
  name: z.string().trim().min(1).max(80),
  passphrase: triedPassphrase,
});

/** POST /api/v1/session/link: the code of a sign-in link, good once. */
export const signInLinkSchema = z.strictObject({ code: codeSchema });

/** POST /api/v1/set-up: the first administrator, by the code on the console. */
export const setUpSchema = z.strictObject({
  code: codeSchema,
  name: labelSchema,
  signInName: signInNameSchema,
  /** Beside administrator. */
  roles: z.array(roleSchema),
  passphrase: newPassphraseText,
});

/** POST /api/v1/session/first-passphrase: a person's own, by the code they were given. */
export const firstPassphraseSchema = z.strictObject({
  name: z.string().trim().min(1).max(80),
  code: codeSchema,
  passphrase: newPassphraseText,
});

/** POST /api/v1/account/passphrase: another one, by the one there is; null where none was set yet. */
export const ownPassphraseSchema = z.strictObject({
  present: triedPassphrase.nullable(),
  passphrase: newPassphraseText,
});

export const sessionSchema = z.strictObject({
  id: idSchema,
  person: idSchema,
  /** The one that asks. */
  own: z.boolean(),
  how: z.enum(['passphrase', 'code', 'setUp', 'link']),
  address: z.string(),
  /** What the browser says of itself, shortened. */
  device: z.string(),
  startedAt: utcSchema,
  actedAt: utcSchema,
  endsAt: utcSchema,
});
/** GET /api/v1/account/sessions, and of everybody GET /api/v1/accounts */
export const sessionListSchema = z.strictObject({ sessions: z.array(sessionSchema) });
export type SessionList = z.infer<typeof sessionListSchema>;

export const accountSchema = z.strictObject({
  person: personSchema,
  /** Null where there never was an account: the name only stands in records. */
  signInName: z.string().nullable(),
  state: z.enum(['none', 'codeGiven', 'open', 'withdrawn']),
  hasPassphrase: z.boolean(),
  /** When the code that was given ends, where one waits. */
  codeEndsAt: utcSchema.nullable(),
  sessions: z.array(sessionSchema),
});
export const accountListSchema = z.strictObject({ accounts: z.array(accountSchema) });
export type AccountList = z.infer<typeof accountListSchema>;

/** POST /api/v1/accounts: a new person with an account, or an account for one whose name is here. */
export const newAccountSchema = z.strictObject({
  /** Null: a new person. */
  person: idSchema.nullable(),
  name: labelSchema,
  signInName: signInNameSchema,
  roles: z.array(roleSchema).min(1),
});

/** POST /api/v1/accounts/{person}/roles */
export const rolesChangeSchema = z.strictObject({ roles: z.array(roleSchema).min(1) });

/** A code, said once and kept nowhere. */
export const givenCodeSchema = z.strictObject({
  person: personSchema,
  signInName: z.string(),
  code: z.string(),
  endsAt: utcSchema,
});
export type GivenCode = z.infer<typeof givenCodeSchema>;

/** What can be in the log of accounts. */
export const auditWhat = [
  'setUpCodeMade',
  'setUp',
  'setUpFailed',
  'signedIn',
  'signInFailed',
  'signedOut',
  'sessionEnded',
  'accountOpened',
  'accountWithdrawn',
  'personNamed',
  'rolesChanged',
  'codeGiven',
  'codeFailed',
  'linkGiven',
  'passphraseSet',
  'passphraseFailed',
  'signed',
  'machineCodeGiven',
  'machineEnrolled',
  'machineRevoked',
] as const;
export const auditEntrySchema = z.strictObject({
  /** From 1, without a gap. */
  number: z.int().positive(),
  at: utcSchema,
  what: z.enum(auditWhat),
  /** Whose account it is about; null where nobody's. */
  person: idSchema.nullable(),
  /** Who did it: a person's id, "console", "program NAME"; null where nobody had signed in. */
  by: z.string().max(80).nullable(),
  address: z.string().max(80).nullable(),
  detail: z.string().max(300).nullable(),
  /** Hash of the entry before, 64 zeros for the first. */
  prev: z.string(),
  /** SHA-256 of the entry without this field as canonical JSON (RFC 8785). */
  hash: z.string(),
});
export type AuditEntry = z.infer<typeof auditEntrySchema>;
export type AuditWhat = AuditEntry['what'];

/** GET /api/v1/audit, newest first. */
export const auditPageSchema = z.strictObject({
  entries: z.array(auditEntrySchema),
  next: z.string().nullable(),
  /** Number of the first entry that does not fit the one before it; null where all do. */
  brokenAt: z.int().nullable(),
});
export type AuditPage = z.infer<typeof auditPageSchema>;
