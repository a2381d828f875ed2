import { z } from 'zod';
import { originSchema, recordTimeUsSchema, utcSchema } from './common.ts';

/** What can happen on a rig's stream. `signal*` and `source*` are about the data, the rest about the weld. */
export const EVENT_TYPES = [
  'arcStart',
  'arcStop',
  'passClosed',
  'outOfRangeStart',
  'outOfRangeEnd',
  'passMismatch',
  'driftStart',
  'driftEnd',
  'trim',
  'signalGap',
  'signalHeld',
  'sourceState',
  'deviceRestart',
  'framesLost',
  'assigned',
  'clockStep',
  'storage',
] as const;

/** One event, durable in the record lane and announced on `event`. */
export const eventSchema = z.strictObject({
  origin: originSchema,
  /** Unique along a stream: `<stream>:<n>`. */
  id: z.string().max(60),
  type: z.enum(EVENT_TYPES),
  tUs: recordTimeUsSchema,
  at: utcSchema,
  passIndex: z.int().positive().nullable(),
  /** One sentence for a person. */
  text: z.string().max(300),
  /** Numbers and words of this event, unit in the name. */
  data: z.record(z.string().max(40), z.union([z.number(), z.string().max(200), z.boolean(), z.null()])),
});
export type RigEvent = z.infer<typeof eventSchema>;
