import { z } from 'zod';
import { originSchema, recordTimeUsSchema, utcSchema } from './common.ts';

/** Retained: conditions that are true now. Acknowledging and shelving live in the dashboard. */
export const alarmsSchema = z.strictObject({
  origin: originSchema,
  at: utcSchema,
  conditions: z.array(
    z.strictObject({
      /** One per side × pass × cause. */
      key: z.string().max(120),
      cause: z.enum([
        'outOfRange',
        'passMismatch',
        'drifting',
        'noDataWithArc',
        'recordingFailed',
        'buffering',
        'storage',
        'clock',
      ]),
      quantity: z.string().nullable(),
      priority: z.enum(['high', 'medium', 'low']),
      sinceUs: recordTimeUsSchema,
      text: z.string().max(300),
      action: z.string().max(200),
    }),
  ),
});
export type Alarms = z.infer<typeof alarmsSchema>;
