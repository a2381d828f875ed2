import { z } from 'zod';
import { clockStateSchema, measuredSchema, recordTimeUsSchema } from './common.ts';

/** How record time reads on the edge's wall clock at one moment: utc = record time + `utcMinusRecordMs`. */
export const clockMapRowSchema = z.strictObject({
  /** `start`: of the program; before it another row's map may not hold. */
  cause: z.enum(['start', 'minute', 'step', 'state']),
  recordUs: recordTimeUsSchema,
  utcMinusRecordMs: z.number(),
  state: clockStateSchema,
  /** Edge minus store, where measured. */
  offsetMs: measuredSchema,
});
export type ClockMapRow = z.infer<typeof clockMapRowSchema>;
