/** Routes of how changes along the weld are called, and of one pass type over many joints. */
import { z } from 'zod';
import {
  callPageSchema,
  overJointsSchema,
  passTypesSchema,
  trialRequestSchema,
  trialSchema,
  watchStateSchema,
} from '#core/messages/api-watch';
import { originSchema, topicIdSchema } from '#core/messages/common';
import { pageQuery, passesQuery } from './query-schemas.ts';
import { route } from './route.ts';

export const WATCH_ROUTES = {
  watch: route({
    method: 'get',
    path: '/api/v1/watch',
    operationId: 'readWatch',
    may: 'read',
    summary:
      'How changes along the weld are called, what that does by computation, and how right the calls were; ' +
      'changed by an entry of kind watchChanged',
    response: watchStateSchema,
  }),
  watchTrial: route({
    method: 'post',
    path: '/api/v1/watch/trial',
    operationId: 'tryWatch',
    may: 'compute',
    summary: 'Tries settings on the last recorded passes; stores nothing and changes nothing',
    body: trialRequestSchema,
    response: trialSchema,
  }),
  calls: route({
    method: 'get',
    path: '/api/v1/calls',
    operationId: 'listCalls',
    may: 'read',
    summary: 'Deviations and changes along the weld of closed passes, newest pass first, with their marks',
    query: passesQuery,
    response: callPageSchema,
  }),
  passTypes: route({
    method: 'get',
    path: '/api/v1/pass-types',
    operationId: 'listPassTypes',
    may: 'read',
    summary: 'Pass types that were recorded, most used first',
    response: passTypesSchema,
  }),
  overJoints: route({
    method: 'get',
    path: '/api/v1/over-joints',
    operationId: 'readOverJoints',
    may: 'read',
    summary: 'One pass type over the last joints, per rig and side, and the closure of each joint',
    query: z.strictObject({
      procedureId: topicIdSchema,
      pass: z.string().trim().min(1).max(60),
      origin: originSchema,
      limit: pageQuery.limit,
    }),
    response: overJointsSchema,
  }),
} as const;
