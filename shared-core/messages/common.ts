import { z } from 'zod';
import { isTopicId } from '../topics/topics.ts';

/** Where data came from. Hashed with the record, shown on every screen. */
export const ORIGINS = ['real', 'simulated', 'replay'] as const;
export const originSchema = z.enum(ORIGINS);
export type Origin = z.infer<typeof originSchema>;

/** RFC 3339 UTC with milliseconds. */
export const utcSchema = z.iso.datetime({ precision: 3 });

export const topicIdSchema = z.string().refine(isTopicId, 'use a-z, 0-9 and "-", at most 64 characters');

/** Record time: integer microseconds, monotone along one stream (record time, see docs/edge.md). */
export const recordTimeUsSchema = z.int().nonnegative();

export const sideSchema = z.enum(['A', 'B']);
export type Side = z.infer<typeof sideSchema>;

/** Text a person typed or a file carried: shown as text, never as markup. */
export const labelSchema = z.string().trim().min(1).max(80);

/** A finite number or null where it is unknown; the reason stands beside it. Never 0 for unknown. */
export const measuredSchema = z.number().nullable();

/** Why a value is missing, incomplete or not to be judged. */
export const reasonSchema = z.strictObject({
  code: z.string().min(1).max(60),
  fields: z.array(z.string().max(60)).max(40),
  text: z.string().max(300),
});
export type Reason = z.infer<typeof reasonSchema>;

export const clockStateSchema = z.enum(['synced', 'holdover', 'unsynced']);
export type ClockState = z.infer<typeof clockStateSchema>;

/** State of the wall clock a record was stamped with. `offsetMs` is edge minus dashboard, where measured. */
export const clockSchema = z.strictObject({
  state: clockStateSchema,
  offsetMs: measuredSchema,
});
export type Clock = z.infer<typeof clockSchema>;

export const sha256HexSchema = z.string().regex(/^[0-9a-f]{64}$/);
export const streamIdSchema = z.string().regex(/^[0-9a-f]{32}$/);
