import { z } from 'zod';
import { entrySchema } from '../journal/entry.ts';
import { procedureSchema } from '../procedure/procedure.ts';
import { peopleRoles } from './account-rules.ts';
import { alarmsSchema } from './alarms.ts';
import { alarmPictureSchema } from './api-alarm.ts';
import { rigReadinessSchema } from './api-journal.ts';
import { trainingChangeSchema } from './api-training.ts';
import { assignmentSchema } from './assignment.ts';
import {
  labelSchema,
  measuredSchema,
  recordTimeUsSchema,
  sideSchema,
  streamIdSchema,
  topicIdSchema,
  utcSchema,
} from './common.ts';
import { eventSchema } from './event.ts';
import { healthSchema } from './health.ts';
import { infoSchema } from './info.ts';
import { liveSchema } from './live.ts';
import { passMessageSchema } from './pass.ts';
import { statusSchema } from './status.ts';
import { streamPaceSchema } from './stream-pace.ts';
import { truckStateSchema } from './truck.ts';

/** A rig as the dashboard knows it: the last of each retained or live message, null before the first. */
export const rigSchema = z.strictObject({
  site: topicIdSchema,
  rig: topicIdSchema,
  /** Fixed place on the live view, from 0; given once, never re-sorted. */
  place: z.int().nonnegative(),
  info: infoSchema.nullable(),
  status: statusSchema.nullable(),
  health: healthSchema.nullable(),
  live: liveSchema.nullable(),
  alarms: alarmsSchema.nullable(),
  assignment: assignmentSchema.nullable(),
});
export type Rig = z.infer<typeof rigSchema>;

export const personSchema = z.strictObject({
  id: z.string().min(1).max(60),
  name: labelSchema,
  roles: z.array(z.enum(peopleRoles)).min(1),
});
export type Person = z.infer<typeof personSchema>;

/** POST /api/v1/people */
export const newPersonSchema = personSchema.omit({ id: true });

/** POST /api/v1/assignments: what one rig is about to weld, by whom. The dashboard adds id, time, origin. */
export const newAssignmentSchema = z.strictObject({
  site: topicIdSchema,
  rig: topicIdSchema,
  author: z.string().min(1).max(60),
  work: assignmentSchema.shape.work,
});
export type NewAssignment = z.infer<typeof newAssignmentSchema>;

/** POST /api/v1/procedures: a revision once stored is never changed. */
export const newProcedureSchema = z.strictObject({
  author: z.string().min(1).max(60),
  procedure: procedureSchema,
});

/**
 * GET /api/v1/rigs/{site}/{rig}/samples?from=&to=&points=&channels=
 * Extreme-preserving: per bucket the time it starts and the least and greatest value in it.
 * A bucket without a known sample is absent; `gaps` says where nothing was recorded.
 */
export const samplesSchema = z.strictObject({
  site: topicIdSchema,
  rig: topicIdSchema,
  /** The stream whose record time is meant; null where nothing is stored of the rig. */
  stream: streamIdSchema.nullable().optional(),
  /** utc = record time + this, ms; null where nothing is stored. */
  utcMinusRecordMs: z.number().nullable().optional(),
  fromUs: recordTimeUsSchema,
  toUs: recordTimeUsSchema,
  series: z.array(
    z.strictObject({
      channel: z.string(),
      unit: z.string(),
      tUs: z.array(z.number()),
      min: z.array(z.number()),
      max: z.array(z.number()),
    }),
  ),
  gaps: z.array(z.strictObject({ fromUs: recordTimeUsSchema, toUs: recordTimeUsSchema })),
  /** Where samples were let go, or cannot be read now: shown by summaries of a second or more, which stay. */
  summarised: z.array(z.strictObject({ fromUs: recordTimeUsSchema, toUs: recordTimeUsSchema })).optional(),
  /** Where the samples of this answer were read, where any were: in the store, in InfluxDB, or some here, some there. */
  readFrom: z.enum(['store', 'influx', 'both']).optional(),
  /** One sentence, where samples were read elsewhere than meant or could not be read. */
  note: z.string().optional(),
});
export type Samples = z.infer<typeof samplesSchema>;

/** GET /api/v1/joints */
export const jointSchema = z.strictObject({
  joint: labelSchema,
  firstUtc: utcSchema,
  lastUtc: utcSchema,
  passes: z.int().nonnegative(),
  deviations: z.int().nonnegative(),
  origin: z.enum(['real', 'simulated', 'replay']),
});
export type Joint = z.infer<typeof jointSchema>;

/**
 * GET /api/v1/stream, Server-Sent Events. `event:` is the key, `data:` the JSON of its schema.
 * First `rigs` (the whole picture), then changes. `live` is one coalesced frame per tick (100 ms, or the slower
 * `pace` of this reader): the newest per rig, with `thinned` true when older ones were passed over.
 */
export const streamEvents = {
  rigs: z.strictObject({ serverUtc: utcSchema, rigs: z.array(rigSchema) }),
  rig: rigSchema,
  live: z.strictObject({
    thinned: z.boolean(),
    rigs: z.array(z.strictObject({ site: topicIdSchema, rig: topicIdSchema, live: liveSchema })),
  }),
  event: z.strictObject({ site: topicIdSchema, rig: topicIdSchema, event: eventSchema }),
  pass: passMessageSchema,
  /** Something was entered in the journal. */
  entry: entrySchema,
  /** What a rig has and lacks has changed. */
  readiness: rigReadinessSchema,
  /** All alarms there are: after `rigs`, and whenever anything about them changes. */
  alarms: alarmPictureSchema,
  /** How often this screen is given live values, and by when this was sent. */
  pace: streamPaceSchema,
  /** What is wrong at the truck itself. */
  truck: truckStateSchema,
  /** A training session changed. */
  training: trainingChangeSchema,
} as const;
export type StreamEventName = keyof typeof streamEvents;
export type StreamEvent<K extends StreamEventName> = z.infer<(typeof streamEvents)[K]>;

/** GET /api/v1/passes?joint=&site=&rig=&limit=&before= : newest first, one page. */
export const passPageSchema = z.strictObject({
  passes: z.array(passMessageSchema),
  /** Pass as `before` for the next page; null at the end. */
  next: z.string().nullable(),
});

/** RFC 9457. `code` is stable for programs; `detail` is one sentence for a person. */
export const problemSchema = z.strictObject({
  type: z.string(),
  title: z.string(),
  status: z.int(),
  detail: z.string(),
  code: z.string(),
});
export type Problem = z.infer<typeof problemSchema>;

/** One layer of the ring drawn for a joint on the live view: what each side has welded of each pass. */
export const jointRingSchema = z.strictObject({
  joint: labelSchema,
  procedureId: z.string(),
  procedureRevision: z.int(),
  outsideDiameterMm: z.number(),
  layers: z.array(
    z.strictObject({
      pass: z.string(),
      sides: z.array(
        z.strictObject({
          side: sideSchema,
          /** Run-out spans along the side from its 12 o'clock, mm. */
          spans: z.array(z.strictObject({ fromMm: z.number(), toMm: z.number() })),
          outOfRange: z.array(z.strictObject({ fromMm: z.number(), toMm: z.number(), quantity: z.string() })),
          uncertaintyMm: measuredSchema,
        }),
      ),
    }),
  ),
});
export type JointRing = z.infer<typeof jointRingSchema>;
