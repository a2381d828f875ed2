import { z } from 'zod';
import { procedureSchema } from '../procedure/procedure.ts';
import { originSchema, utcSchema } from './common.ts';

/**
 * Dashboard → edge, retained on `procedure/<id>`: the revision the rig's assignment names, and no other.
 * An edge keeps every revision it has received; a revision never changes.
 */
export const procedureMessageSchema = z.strictObject({
  origin: originSchema,
  at: utcSchema,
  /** Id in the people store of who stored this revision. */
  author: z.string().min(1).max(60),
  procedure: procedureSchema,
});
export type ProcedureMessage = z.infer<typeof procedureMessageSchema>;
