/** HTTP shapes of procedures beside the list: one revision, the joints that used it, its pass table. */
import { z } from 'zod';
import { entrySchema } from '../journal/entry.ts';
import { procedurePassSchema } from '../procedure/procedure.ts';
import { procedureStateSchema } from './api-journal.ts';
import { procedureEntrySchema } from './api-lists.ts';
import { labelSchema, originSchema, topicIdSchema, utcSchema } from './common.ts';

/** GET /api/v1/procedures/{id}/{revision} */
export const procedureRevisionSchema = z.strictObject({
  ...procedureEntrySchema.shape,
  state: procedureStateSchema,
  /** The entry that approved or withdrew it last; null for a draft. */
  statusEntry: entrySchema.nullable(),
  /** Stored revisions of the same id, in order, with their states. */
  revisions: z.array(z.strictObject({ revision: z.int().positive(), state: procedureStateSchema })),
});
export type ProcedureRevision = z.infer<typeof procedureRevisionSchema>;

/** GET /api/v1/procedures/{id}/{revision}/joints : newest use first. */
export const procedureJointsSchema = z.strictObject({
  joints: z.array(
    z.strictObject({
      joint: labelSchema,
      origin: originSchema,
      /** How it is named: in its particulars, by an assignment, in a record, by a move. */
      by: z.array(z.enum(['particulars', 'assignment', 'record', 'move'])),
      lastUtc: utcSchema,
    }),
  ),
});
export type ProcedureJoints = z.infer<typeof procedureJointsSchema>;

/** GET /api/v1/procedure-states : of every stored revision. */
export const procedureStatesSchema = z.strictObject({
  states: z.array(
    z.strictObject({
      id: topicIdSchema,
      revision: z.int().positive(),
      state: procedureStateSchema,
      at: utcSchema.nullable(),
      author: z.string().nullable(),
      reason: z.string().nullable(),
    }),
  ),
});
export type ProcedureStates = z.infer<typeof procedureStatesSchema>;

/** POST /api/v1/pass-table : reads a CSV pass table and stores nothing. Columns: docs/journal.md. */
export const passTableTextSchema = z.strictObject({ csv: z.string().min(1).max(60_000) });
export const passTableSchema = z.strictObject({ passes: z.array(procedurePassSchema) });
