import { z } from 'zod';
import { clockSchema, originSchema, streamIdSchema, utcSchema } from './common.ts';
import { sourceStateSchema } from './live.ts';

export const storeRoomSchema = z.strictObject({
  /** low: less than 20 % or 7 days are left; thinning: what waits for a store is not whole any more. */
  level: z.enum(['ok', 'low', 'thinning']),
  /** What may still be written before undelivered samples have to give way, and the same of an empty store. */
  availableBytes: z.number().nonnegative().nullable(),
  capacityBytes: z.number().nonnegative().nullable(),
  /** At the rate of the last day of running; null until ten minutes are measured. */
  daysLeft: z.number().nonnegative().nullable(),
  /** When the oldest batch that still has its raw samples was closed; null where there is none. */
  wholeSince: utcSchema.nullable(),
  /** Batches reduced to values of a second before every store had them, and batches without samples. */
  thinned: z.int().nonnegative(),
  pruned: z.int().nonnegative(),
  thinnedWaiting: z.boolean(),
  /** The file that is let go when the disk is full. */
  ballast: z.enum(['ready', 'released']),
});

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
    /** How long it can go on without a link; absent from edges that do not say. */
    room: storeRoomSchema.optional(),
  }),
  /** Raw bytes kept beside the store; absent from edges that do not say. */
  blackBox: z
    .strictObject({
      state: z.enum(['off', 'recording', 'paused', 'failed']),
      bytes: z.int().nonnegative(),
      since: utcSchema.nullable(),
      /** Of this run of the edge. */
      leftOutBytes: z.int().nonnegative(),
    })
    .optional(),
  cursors: z.record(z.string().max(64), z.int().nonnegative()),
  /** Every named internal event with how often it happened since start. */
  counters: z.record(z.string().max(60), z.int().nonnegative()),
});
export type Health = z.infer<typeof healthSchema>;
