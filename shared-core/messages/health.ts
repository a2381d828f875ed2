import { z } from 'zod';
import { clockSchema, originSchema, streamIdSchema, utcSchema } from './common.ts';
import { sourceStateSchema } from './live.ts';

/** Retained every 10 s and on change: the edge opens no socket, so this is its whole health page. */
export const healthSchema = z.strictObject({
  origin: originSchema,
  at: utcSchema,
  software: z.string().max(40),
  uptimeS: z.number().nonnegative(),
  rssMb: z.number().nonnegative(),
  stream: streamIdSchema,
  source: sourceStateSchema,
  clock: clockSchema,
  store: z.strictObject({
    committedSeq: z.int().nonnegative(),
    waiting: z.int().nonnegative(),
    bytes: z.int().nonnegative(),
    freeBytes: z.number().nonnegative().nullable(),
    syncP99Ms: z.number().nonnegative().nullable(),
    lagS: z.number().nonnegative(),
  }),
  cursors: z.record(z.string().max(64), z.int().nonnegative()),
  /** Every named internal event with how often it happened since start. */
  counters: z.record(z.string().max(60), z.int().nonnegative()),
});
export type Health = z.infer<typeof healthSchema>;
