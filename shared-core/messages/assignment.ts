import { z } from 'zod';
import { labelSchema, originSchema, sideSchema, topicIdSchema, utcSchema } from './common.ts';

/**
 * Dashboard → edge, retained: what the rig is about to weld. It labels what is recorded;
 * it never starts, stops or adjusts anything. `work: null` clears it.
 */
export const assignmentSchema = z.strictObject({
  origin: originSchema,
  id: z.string().min(1).max(60),
  at: utcSchema,
  /** Id in the people store of who made the entry. */
  author: z.string().min(1).max(60),
  work: z
    .strictObject({
      joint: labelSchema,
      side: sideSchema,
      pass: z.string().trim().min(1).max(60),
      procedureId: topicIdSchema,
      procedureRevision: z.int().positive(),
      /** Outside diameter the run-out is measured at, mm. */
      outsideDiameterMm: z.number().positive().max(5000),
      /** Where this side starts: degrees from 12 o'clock in its own direction of travel. */
      startDegrees: z.number().min(-90).max(270),
    })
    .nullable(),
});
export type Assignment = z.infer<typeof assignmentSchema>;
