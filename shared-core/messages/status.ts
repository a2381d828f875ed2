import { z } from 'zod';
import { originSchema, utcSchema } from './common.ts';

/** Retained, and the last will: `lost` is what the broker says for an edge that went silent. */
export const statusSchema = z.strictObject({
  origin: originSchema,
  state: z.enum(['ready', 'stopped', 'lost']),
  at: utcSchema,
});
export type Status = z.infer<typeof statusSchema>;
