import { z } from 'zod';
import { originSchema, sha256HexSchema, streamIdSchema, topicIdSchema } from './common.ts';

/** Store → edge, retained: everything of `stream` up to and including `upto` is committed; `head` is its hash. */
export const ackSchema = z.strictObject({
  origin: originSchema,
  store: topicIdSchema,
  stream: streamIdSchema,
  upto: z.int().nonnegative(),
  head: sha256HexSchema,
});
export type Ack = z.infer<typeof ackSchema>;
