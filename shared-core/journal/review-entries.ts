/** Entries of a review: what NDT reported, what a reviewer found and noted. Findings are people's words. */
import { z } from 'zod';
import { indicationSchema, scanFrameSchema } from '../indication/indication.ts';
import { labelSchema, utcSchema } from '../messages/common.ts';

const joint = labelSchema;

export const reviewEntrySchemas = {
  /** A scan of the joint as its report gives it, with the report's own counting. */
  scanReport: z.strictObject({
    kind: z.literal('scanReport'),
    joint,
    /** The report's number. */
    reference: z.string().trim().min(1).max(80),
    /** NDT's word for its method. */
    technique: z.string().trim().min(1).max(80),
    takenAt: utcSchema,
    frame: scanFrameSchema,
    /** Empty: the scan reports none. */
    indications: z.array(indicationSchema).max(500),
  }),
  /** What a reviewer found about an indication, or about the joint; "no correlation found" is a finding. */
  reviewFinding: z.strictObject({
    kind: z.literal('reviewFinding'),
    joint,
    indication: z
      .strictObject({ scanEntryId: z.string().min(1).max(60), label: z.string().trim().min(1).max(40) })
      .nullable(),
    correlation: z.enum(['found', 'none', 'notClear']),
    text: z.string().trim().min(1).max(2000),
  }),
  /** A note on a place of the joint. */
  annotation: z.strictObject({
    kind: z.literal('annotation'),
    joint,
    passId: z.string().min(1).max(60).nullable(),
    /** Along the side; null: about the whole pass or joint. */
    fromMm: z.number().nullable(),
    toMm: z.number().nullable(),
    text: z.string().trim().min(1).max(1000),
  }),
} as const;
