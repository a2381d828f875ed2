/** Routes of a joint under review. */
import { z } from 'zod';
import { indicationSchema } from '#core/indication/indication';
import { jointReviewSchema } from '#core/messages/api-review';
import { jointParams, jointQuery } from './query-schemas.ts';
import { route } from './route.ts';

export const REVIEW_ROUTES = {
  jointReview: route({
    method: 'get',
    path: '/api/v1/joints/{joint}/review',
    operationId: 'readJointReview',
    may: 'read',
    summary:
      'Everything welded on a joint by place, with indications at their depth, findings, dispositions and data quality',
    params: jointParams,
    query: jointQuery,
    response: jointReviewSchema,
    problems: { jointUnknown: 404 },
  }),
  readIndications: route({
    method: 'post',
    path: '/api/v1/indication-table',
    operationId: 'readIndicationTable',
    may: 'compute',
    summary: 'Reads indications from CSV as a scan report gives them; stores nothing',
    body: z.strictObject({ csv: z.string().max(60_000) }),
    response: z.strictObject({ indications: z.array(indicationSchema) }),
    problems: { indicationTableInvalid: 422 },
  }),
} as const;
