/** Routes of what a person signs with a passphrase, and of the keys the dashboard signs with. */
import { z } from 'zod';
import { entrySchema } from '#core/journal/entry';
import {
  dashboardKeysSchema,
  dispositionListSchema,
  newDispositionSchema,
  newPassphraseSchema,
} from '#core/messages/api-disposition';
import { verifyReportSchema } from '#core/messages/api-verify';
import { signedJointRecordSchema } from '#core/record/joint-record';
import { PASSPHRASE_PROBLEMS } from '../auth/passphrases.ts';
import { ENTRY_PROBLEMS } from './check-entry.ts';
import { jointParams, jointQuery } from './query-schemas.ts';
import { route } from './route.ts';

const { authorUnknown, entryUnknown, correctionOther, entryCorrected, shiftDateAhead } = ENTRY_PROBLEMS;

export const DISPOSITION_ROUTES = {
  dispositions: route({
    method: 'get',
    path: '/api/v1/joints/{joint}/dispositions',
    operationId: 'listDispositions',
    may: 'read',
    summary: 'What named persons have ruled about a joint, each with its signature checked; never a proposal',
    params: jointParams,
    response: dispositionListSchema,
  }),
  addDisposition: route({
    method: 'post',
    path: '/api/v1/joints/{joint}/dispositions',
    operationId: 'addDisposition',
    may: 'disposition',
    summary:
      'Rules about a joint: by an inspector or reviewer who gives their passphrase and a reason; signed, never changed',
    params: jointParams,
    body: newDispositionSchema,
    response: entrySchema,
    problems: {
      ...PASSPHRASE_PROBLEMS,
      ...{ jointUnknown: 404, roleMissing: 403 },
      ...{ authorUnknown, entryUnknown, correctionOther, entryCorrected, shiftDateAhead },
    },
  }),
  setPassphrase: route({
    method: 'post',
    path: '/api/v1/people/{person}/passphrase',
    operationId: 'setPassphrase',
    may: 'ownAccount',
    summary:
      'Sets the passphrase a person signs with: the first one by the person, the next with the present one or by an administrator',
    params: z.strictObject({ person: z.string().min(1).max(60) }),
    body: newPassphraseSchema,
    response: entrySchema,
    problems: { ...PASSPHRASE_PROBLEMS, personUnknown: 404, authorUnknown, roleMissing: 403 },
  }),
  jointRecord: route({
    method: 'get',
    path: '/api/v1/joints/{joint}/record',
    operationId: 'readJointRecord',
    may: 'read',
    summary:
      'One joint in one signed document: passes with their seals, entries with their signatures; canonical JSON (RFC 8785)',
    params: jointParams,
    query: jointQuery,
    response: signedJointRecordSchema,
    problems: { jointUnknown: 404 },
    canonical: true,
  }),
  jointVerification: route({
    method: 'get',
    path: '/api/v1/joints/{joint}/verification',
    operationId: 'verifyJoint',
    may: 'read',
    summary:
      'Whether everything kept of a joint still fits: hashes, seals, signatures; names the first that does not',
    params: jointParams,
    response: verifyReportSchema,
    problems: { jointUnknown: 404 },
  }),
  verification: route({
    method: 'get',
    path: '/api/v1/verification',
    operationId: 'verifyStore',
    may: 'compute',
    summary:
      'Whether everything kept here still fits, all of it: hashes, seals, signatures; names the first that does not',
    response: verifyReportSchema,
    problems: { notVerified: 503 },
  }),
  keys: route({
    method: 'get',
    path: '/api/v1/keys',
    operationId: 'readKeys',
    may: 'read',
    summary: 'The public key this dashboard signs with, and those its store was signed with before',
    response: dashboardKeysSchema,
  }),
} as const;
