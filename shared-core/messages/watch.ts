import { z } from 'zod';
import { originSchema, utcSchema } from './common.ts';
import { driftSettingsSchema } from './drift.ts';

/** Dashboard → edge, retained: how changes along the weld are called. It changes no limit and no rig. */
export const watchSchema = z.strictObject({
  origin: originSchema,
  id: z.string().min(1).max(60),
  at: utcSchema,
  author: z.string().min(1).max(60),
  settings: driftSettingsSchema,
});
export type Watch = z.infer<typeof watchSchema>;
