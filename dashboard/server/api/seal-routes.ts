/** Routes of the seals that came with the records, and of the keys they are checked with. */
import { z } from 'zod';
import {
  jointSealsSchema,
  passSealAnswerSchema,
  sealKeysSchema,
  sealListSchema,
  sealStateSchema,
} from '#core/messages/api-seal';
import { topicIdSchema } from '#core/messages/common';
import { jointParams, jointQuery, pageQuery, passParams, rigParams } from './query-schemas.ts';
import { route } from './route.ts';

const get = 'get' as const;

export const SEAL_ROUTES = {
  seals: route({
    method: get,
    path: '/api/v1/seals',
    operationId: 'listSeals',
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
    summary: 'The signed document of one pass, to be handed on and checked elsewhere',
    params: passParams,
    response: passSealAnswerSchema,
    problems: { sealUnknown: 404 },
  }),
  jointSeals: route({
    method: get,
    path: '/api/v1/joints/{joint}/seals',
    operationId: 'readJointSeals',
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
    summary: 'The keys a rig’s records came signed with: which one is trusted, which were, which never',
    params: rigParams,
    response: sealKeysSchema,
  }),
} as const;
