import { z } from 'zod';
import { originSchema, topicIdSchema } from './common.ts';

const utcMsSchema = z.number().nonnegative().max(253_402_300_799_999);

/** Store → edge: when the ping `id` came in and when this answer left, UTC in ms since 1970 by the store's clock. */
export const timeAnswerSchema = z.strictObject({
  origin: originSchema,
  store: topicIdSchema,
  id: z.int().positive(),
  receivedMs: utcMsSchema,
  sentMs: utcMsSchema,
});
export type TimeAnswer = z.infer<typeof timeAnswerSchema>;
