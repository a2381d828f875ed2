/** Entries about how changes along the weld are called, and whether a call was right. */
import { z } from 'zod';
import { driftSettingsSchema } from '../messages/drift.ts';

/** A call of a recorded pass: a change along it (drift call) or a deviation, by its number from 1. */
export const callRefSchema = z.strictObject({
  of: z.enum(['drift', 'deviation']),
  number: z.int().positive(),
});
export type CallRef = z.infer<typeof callRefSchema>;

export const CALL_MARKS = ['real', 'notReal', 'unknown'] as const;

export const watchEntrySchemas = {
  /** From here on changes are called this way, by every edge that hears it. It changes no limit. */
  watchChanged: z.strictObject({
    kind: z.literal('watchChanged'),
    settings: driftSettingsSchema,
  }),
  /** What an inspector found a call to be. It changes neither the record nor a verdict. */
  callMark: z.strictObject({
    kind: z.literal('callMark'),
    passId: z.string().min(1).max(60),
    call: callRefSchema,
    mark: z.enum(CALL_MARKS),
  }),
} as const;
