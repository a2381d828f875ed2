import { z } from 'zod';
import { labelSchema, originSchema, recordTimeUsSchema, sideSchema, utcSchema } from './common.ts';

/** What an edge itself raises. */
export const EDGE_CAUSES = [
  'outOfRange',
  'passMismatch',
  'drifting',
  'noDataWithArc',
  'recordingFailed',
  'buffering',
  'storage',
  'clock',
] as const;

/** Retained: conditions that are true now. Acknowledging and shelving live in the dashboard. */
export const alarmsSchema = z.strictObject({
  origin: originSchema,
  at: utcSchema,
  conditions: z.array(
    z.strictObject({
      /** One per side × pass × cause: a second quantity out of range is the same condition. */
      key: z.string().max(120),
      cause: z.enum(EDGE_CAUSES),
      quantity: z.string().nullable(),
      /** All of them, the first out first; absent where it is about no quantity. */
      quantities: z.array(z.string().max(40)).max(16).optional(),
      /** What was being welded, and its pass by number; null where nothing was. Absent from older edges. */
      work: z
        .strictObject({ joint: labelSchema, side: sideSchema, pass: z.string().max(60) })
        .nullable()
        .optional(),
      passIndex: z.int().positive().nullable().optional(),
      /** Where it began, or the arc was last seen. */
      place: z.strictObject({ alongMm: z.number(), clock: z.number().nullable() }).nullable().optional(),
      priority: z.enum(['high', 'medium', 'low']),
      sinceUs: recordTimeUsSchema,
      /** The same moment by the wall clock. Absent from older edges. */
      sinceUtc: utcSchema.optional(),
      text: z.string().max(300),
      action: z.string().max(200),
    }),
  ),
});
export type Alarms = z.infer<typeof alarmsSchema>;
