import { z } from 'zod';
import { procedureSchema } from '../procedure/procedure.ts';
import { jointSchema, personSchema, rigSchema } from './api.ts';
import { findingSchema } from './api-journal.ts';
import { assignmentSchema } from './assignment.ts';
import { labelSchema, originSchema, sideSchema, streamIdSchema, topicIdSchema, utcSchema } from './common.ts';
import { eventSchema } from './event.ts';
import { deviationSchema, passMessageSchema } from './pass.ts';
import { truckRoomSchema } from './truck.ts';

/** GET /api/v1/rigs: the same picture as the stream's first message. */
export const rigListSchema = z.strictObject({ serverUtc: utcSchema, rigs: z.array(rigSchema) });
export type RigList = z.infer<typeof rigListSchema>;

/** Pass as `before` for the next page; null at the end. */
const nextSchema = z.string().nullable();

/**
 * GET /api/v1/joints?origin=&limit=&before= : newest work first. One list holds one origin only;
 * without `origin` it is real where anything real is stored, else simulated, else replay.
 */
export const jointListSchema = z.strictObject({
  origin: originSchema,
  /** Every origin the store holds joints of. */
  origins: z.array(originSchema),
  joints: z.array(jointSchema),
  next: nextSchema,
});
export type JointList = z.infer<typeof jointListSchema>;

/** GET /api/v1/joints/{joint}?origin= */
export const jointDetailSchema = z.strictObject({
  joint: jointSchema,
  /** In the order they were welded. */
  passes: z.array(passMessageSchema),
});
export type JointDetail = z.infer<typeof jointDetailSchema>;

/** GET /api/v1/deviations?joint=&site=&rig=&origin=&limit=&before= : newest first. */
export const deviationListSchema = z.strictObject({
  deviations: z.array(
    z.strictObject({
      origin: originSchema,
      site: topicIdSchema,
      rig: topicIdSchema,
      passId: z.string(),
      joint: labelSchema.nullable(),
      side: sideSchema.nullable(),
      procedurePass: z.string().nullable(),
      /** When it began, by the record's clock. */
      atUtc: utcSchema,
      deviation: deviationSchema,
    }),
  ),
  next: nextSchema,
});
export type DeviationList = z.infer<typeof deviationListSchema>;

/** GET /api/v1/events?site=&rig=&from=&to=&type=&limit=&before= : newest first. */
export const eventListSchema = z.strictObject({
  events: z.array(z.strictObject({ site: topicIdSchema, rig: topicIdSchema, event: eventSchema })),
  next: nextSchema,
});
export type EventList = z.infer<typeof eventListSchema>;

/** GET /api/v1/procedures; POST answers with one entry. */
export const procedureEntrySchema = z.strictObject({
  at: utcSchema,
  author: z.string(),
  procedure: procedureSchema,
});
export type ProcedureEntry = z.infer<typeof procedureEntrySchema>;
export const procedureListSchema = z.strictObject({ procedures: z.array(procedureEntrySchema) });

/** GET /api/v1/assignments?site=&rig=&limit=&before= : newest first; POST answers with one entry. */
export const assignmentEntrySchema = z.strictObject({
  site: topicIdSchema,
  rig: topicIdSchema,
  assignment: assignmentSchema,
});
export type AssignmentEntry = z.infer<typeof assignmentEntrySchema>;
/** POST /api/v1/assignments: the entry, and what to know before the arc. Nothing of it keeps anyone from welding. */
export const assignmentAnswerSchema = z.strictObject({
  ...assignmentEntrySchema.shape,
  findings: z.array(findingSchema),
});
export type AssignmentAnswer = z.infer<typeof assignmentAnswerSchema>;
export const assignmentListSchema = z.strictObject({
  assignments: z.array(assignmentEntrySchema),
  next: nextSchema,
});

/** GET /api/v1/people. Names are not verified until accounts exist. */
export const peopleListSchema = z.strictObject({
  people: z.array(personSchema.extend({ hasPassphrase: z.boolean() })),
  verified: z.literal(false),
});
export type PeopleList = z.infer<typeof peopleListSchema>;

/** GET /api/v1/system: the dashboard's own state, for the person who keeps it running. */
export const systemSchema = z.strictObject({
  serverUtc: utcSchema,
  /** IANA zone of the job: every time a screen shows is by its clocks. */
  timeZone: z.string(),
  software: z.string(),
  uptimeS: z.number(),
  store: z.strictObject({
    name: topicIdSchema,
    records: z.int(),
    bytes: z.int(),
    room: truckRoomSchema,
  }),
  broker: z.strictObject({ url: z.string(), embedded: z.boolean(), connected: z.boolean() }),
  /** What is committed here of every stream; `waiting` records lie beyond a hole and wait for it. */
  streams: z.array(
    z.strictObject({
      site: topicIdSchema,
      rig: topicIdSchema,
      stream: streamIdSchema,
      origin: originSchema,
      /** First sequence number this store has; greater than 1 when it was set up after the edge began. */
      first: z.int().positive().nullable(),
      upto: z.int().nonnegative(),
      waiting: z.int().nonnegative(),
      conflicts: z.int().nonnegative(),
    }),
  ),
  /** Every named internal event with how often it happened since start. */
  counters: z.record(z.string(), z.int()),
});
export type System = z.infer<typeof systemSchema>;

/** GET /readyz */
export const readySchema = z.strictObject({ ready: z.boolean(), warnings: z.array(z.string()) });
