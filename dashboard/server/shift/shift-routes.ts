/** Routes of one shift. */
import { z } from 'zod';
import { csvStyleQuery } from '#core/messages/api-export';
import { shiftSchema } from '#core/messages/api-shift';
import { originSchema, topicIdSchema } from '#core/messages/common';
import { route } from '../api/route.ts';

const query = {
  /** The day the shift began; the shift that runs now where it is not given. */
  date: z.iso.date().optional(),
  site: topicIdSchema.optional(),
  origin: originSchema.optional(),
};

export const SHIFT_ROUTES = {
  shift: route({
    method: 'get',
    path: '/api/v1/shift',
    operationId: 'readShift',
    may: 'read',
    summary:
      'One shift: joints, arc time, wire and gas, what is left open, how rigs were proved; of one origin only',
    query: z.strictObject(query),
    response: shiftSchema,
  }),
  shiftCsv: route({
    method: 'get',
    path: '/api/v1/shift.csv',
    operationId: 'readShiftCsv',
    may: 'read',
    summary: 'One row a rig of the shift, or one a joint (table=joints)',
    query: z.strictObject({ ...query, ...csvStyleQuery, table: z.enum(['rigs', 'joints']).default('rigs') }),
    response: z.string(),
    media: 'text/csv',
  }),
} as const;
