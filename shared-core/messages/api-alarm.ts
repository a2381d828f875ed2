/** HTTP and stream shapes of alarms: what someone must act on now. Of deviations nothing is here. */
import { z } from 'zod';
import { ALARM_CAUSES } from '../alarm/alarm-cause.ts';
import { LOGGED } from '../alarm/alarm-machine.ts';
import { AVAILABILITIES, LIFECYCLES, PRIORITIES } from '../alarm/alarm-state.ts';
import { labelSchema, originSchema, sideSchema, topicIdSchema, utcSchema } from './common.ts';

export const alarmCauseSchema = z.enum(ALARM_CAUSES);
const personSchema = z.string().min(1).max(60);
const reasonTextSchema = z.string().trim().min(1).max(200);

/** What is put on a shelf or out of service: one cause of one rig, or of the dashboard itself (both null). */
export const alarmPointSchema = z.strictObject({
  site: topicIdSchema.nullable(),
  rig: topicIdSchema.nullable(),
  cause: alarmCauseSchema,
});
export type AlarmPoint = z.infer<typeof alarmPointSchema>;

/** What an alarm says and where it belongs. */
export const alarmAboutSchema = z.strictObject({
  ...alarmPointSchema.shape,
  /** Null: of the dashboard itself. */
  origin: originSchema.nullable(),
  priority: z.enum(PRIORITIES),
  /** What was being welded; null where nothing was, or it is not about weld. */
  work: z.strictObject({ joint: labelSchema, side: sideSchema, pass: z.string().max(60) }).nullable(),
  quantities: z.array(z.string().max(40)).max(16),
  /** Where it began: mm along the side, and by the clock where the pipe is known. */
  place: z.strictObject({ alongMm: z.number(), clock: z.number().nullable() }).nullable(),
  /** One sentence each: what is so, and what to do. */
  text: z.string().max(300),
  action: z.string().max(300),
});
export type AlarmAbout = z.infer<typeof alarmAboutSchema>;

export const shelfSchema = z.strictObject({
  by: personSchema,
  reason: reasonTextSchema,
  atUtc: utcSchema,
  untilUtc: utcSchema,
});
export const outOfServiceSchema = z.strictObject({
  by: personSchema,
  reason: reasonTextSchema,
  atUtc: utcSchema,
});

/** One alarm that is not normal. */
export const alarmSchema = z.strictObject({
  alarm: z.int().positive(),
  ...alarmAboutSchema.shape,
  lifecycle: z.enum(LIFECYCLES),
  availability: z.enum(AVAILABILITIES),
  /** When what is true now, or was last, began; when it ended (null while it is true). */
  sinceUtc: utcSchema,
  clearedUtc: utcSchema.nullable(),
  /** How often it became true: in this pass where it is of one. */
  count: z.int().positive(),
  acknowledged: z.strictObject({ by: personSchema, atUtc: utcSchema }).nullable(),
  /** Its latest announcement; null where it was not announced. */
  announcement: z.strictObject({ number: z.int().positive(), atUtc: utcSchema }).nullable(),
  /** The line it is folded into, as an index of `folds`; null where it stands alone. */
  fold: z.int().nonnegative().nullable(),
  /** False: what its edge last said, which is not heard now. */
  heard: z.boolean(),
});
export type Alarm = z.infer<typeof alarmSchema>;

/** GET /api/v1/alarms, the stream's `alarms`, and the answer to every action: all there is, most urgent first. */
export const alarmPictureSchema = z.strictObject({
  serverUtc: utcSchema,
  /** The newest announcement's number; 0 before the first. */
  newest: z.int().nonnegative(),
  alarms: z.array(alarmSchema),
  /** More than 6 announcements within 60 s, told in one line. */
  folds: z.array(z.strictObject({ fromUtc: utcSchema, toUtc: utcSchema, announcements: z.int().positive() })),
  /** Announcements against what a person can attend to. */
  budget: z.strictObject({
    last10Min: z.int().nonnegative(),
    lastHour: z.int().nonnegative(),
    state: z.enum(['within', 'above', 'overCeiling', 'flood']),
    perHour: z.int(),
    ceilingPerHour: z.int(),
    floodAbovePer10Min: z.int(),
  }),
  /** On the shelf or out of service. */
  away: z.array(
    z.strictObject({
      ...alarmPointSchema.shape,
      shelf: shelfSchema.nullable(),
      outOfService: outOfServiceSchema.nullable(),
    }),
  ),
});
export type AlarmPicture = z.infer<typeof alarmPictureSchema>;

/** GET /api/v1/alarms/history?site=&rig=&limit=&before= : what was announced and done, newest first, append-only. */
export const alarmHistorySchema = z.strictObject({
  entries: z.array(
    z.strictObject({
      number: z.int().positive(),
      at: utcSchema,
      what: z.enum(LOGGED),
      /** Null where a whole point was put away and no alarm was open. */
      alarm: z.int().positive().nullable(),
      ...alarmPointSchema.shape,
      about: alarmAboutSchema.nullable(),
      /** Who, and why; null where nobody did it. */
      by: personSchema.nullable(),
      reason: z.string().nullable(),
    }),
  ),
  next: z.string().nullable(),
});
export type AlarmHistory = z.infer<typeof alarmHistorySchema>;

const optionalReason = reasonTextSchema.nullable().default(null);

/** POST /api/v1/alarms/acknowledge, /reset */
export const alarmsActionSchema = z.strictObject({
  alarms: z.array(z.int().positive()).min(1).max(200),
  author: personSchema,
  reason: optionalReason,
});
/** POST /api/v1/alarms/shelve: always with an end. */
export const alarmShelveSchema = z.strictObject({
  ...alarmPointSchema.shape,
  author: personSchema,
  reason: reasonTextSchema,
  minutes: z.int().min(1).max(720),
});
/** POST /api/v1/alarms/unshelve */
export const alarmUnshelveSchema = z.strictObject({
  ...alarmPointSchema.shape,
  author: personSchema,
  reason: optionalReason,
});
/** POST /api/v1/alarms/out-of-service: takes it out, or puts it back. */
export const alarmServiceSchema = z.strictObject({
  ...alarmPointSchema.shape,
  author: personSchema,
  reason: reasonTextSchema,
  inService: z.boolean(),
});
