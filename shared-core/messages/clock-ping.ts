import { z } from 'zod';
import { originSchema } from './common.ts';

/** Edge → stores: what time is it? Answered on `time/<store>` at once; the clock of the edge is measured, never set. */
export const clockPingSchema = z.strictObject({
  origin: originSchema,
  /** Names the question in its answer. */
  id: z.int().positive(),
});
export type ClockPing = z.infer<typeof clockPingSchema>;
