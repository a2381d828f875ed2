/** Routes of the seals that came with the records, and of the keys they are checked with. */
import { z } from 'zod';
import {
  acceptSealKeySchema,
  jointSealsSchema,
  passSealAnswerSchema,
  sealKeysSchema,
  sealListSchema,
  sealStateSchema,
} from '#core/messages/api-seal';
import { topicIdSchema } from '#core/messages/common';
import { PASSPHRASE_PROBLEMS } from '../auth/passphrases.ts';
import { jointParams, jointQuery, pageQuery, passParams, rigParams } from './query-schemas.ts';
import { route } from './route.ts';

const get = 'get' as const;

export const SEAL_ROUTES = {
  seals: route({
    method: get,
    path: '/api/v1/seals',
    operationId: 'listSeals',
    may: 'read',
    summary: 'Seals as they were checked on intake, newest first',
    query: z.strictObject({
      site: topicIdSchema.optional(),
      rig: topicIdSchema.optional(),
      state: sealStateSchema.optional(),
      ...pageQuery,
    }),
    response: sealListSchema,
  }),
  passSeal: route({
    method: get,
    path: '/api/v1/passes/{passId}/seal',
    operationId: 'readPassSeal',
    may: 'read',
    summary: 'The signed document of one pass, to be handed on and checked elsewhere',
    params: passParams,
    response: passSealAnswerSchema,
    problems: { sealUnknown: 404 },
  }),
  jointSeals: route({
    method: get,
    path: '/api/v1/joints/{joint}/seals',
    operationId: 'readJointSeals',
    may: 'read',
    summary: 'Each closed pass of a joint and how its seal stands',
    params: jointParams,
    query: jointQuery,
    response: jointSealsSchema,
    problems: { jointUnknown: 404 },
  }),
  sealKeys: route({
    method: get,
    path: '/api/v1/rigs/{site}/{rig}/seal-keys',
    operationId: 'listSealKeys',
    may: 'read',
    summary: 'The keys a rig’s records came signed with: which one is trusted, which were, which never',
    params: rigParams,
    response: sealKeysSchema,
  }),
  acceptSealKey: route({
    method: 'post',
    path: '/api/v1/rigs/{site}/{rig}/seal-keys',
    operationId: 'acceptSealKey',
    may: 'acceptSealKey',
    summary:
      'Trusts a key that was refused: by an inspector or administrator with passphrase and reason, after comparing it at the board',
    params: rigParams,
    body: acceptSealKeySchema,
    response: sealKeysSchema,
    problems: { ...PASSPHRASE_PROBLEMS, authorUnknown: 422, roleMissing: 403, keyUnknown: 404 },
  }),
} as const;
