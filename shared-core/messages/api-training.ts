/**
 * HTTP and stream shapes of training. Two views of a session: who shows the trainer's key (header TRAINER_HEADER) sees
 * the truth at once; everyone else only after the lesson has ended and the trainee has rated themselves.
 */
import { z } from 'zod';
import { controlStateSchema, injectSchema, setSpeedSchema, speedSchema } from '../training/control.ts';
import { lessonHeadSchema } from '../training/lesson.ts';
import { ACTIONS, NAMED_CHANNELS } from '../training/names.ts';
import { scoreSchema, sessionSchema } from '../training/session.ts';
import { originSchema, sideSchema, topicIdSchema, utcSchema } from './common.ts';

/** What practice tells a trainee who has not marked yet: first the side, then the channel, then what to do. */
export const hintSchema = z.strictObject({
  step: z.enum(['side', 'channel', 'action']),
  rig: topicIdSchema,
  side: sideSchema,
  /** Null until that step; empty: any. */
  channels: z.array(z.enum(NAMED_CHANNELS)).nullable(),
  actions: z.array(z.enum(ACTIONS)).nullable(),
});
export type Hint = z.infer<typeof hintSchema>;

/** A session as it is shown. `truth` and `score` are null where they are not for these eyes, or not yet. */
export const sessionViewSchema = z.strictObject({
  ...sessionSchema.shape,
  truth: sessionSchema.shape.truth.nullable(),
  /** Whether the trainer's key was shown. */
  trainerView: z.boolean(),
  /** Practice only, while it runs. */
  hint: hintSchema.nullable(),
});
export type SessionView = z.infer<typeof sessionViewSchema>;

/** One line of the list, for the trainer. */
export const sessionHeadSchema = z.strictObject({
  ...sessionSchema.pick({
    id: true,
    trainee: true,
    trainer: true,
    lesson: true,
    seed: true,
    mode: true,
    state: true,
    createdAt: true,
    startedAt: true,
    endedAt: true,
    hurried: true,
    selfRating: true,
  }).shape,
  marks: z.int().nonnegative(),
});
export type SessionHead = z.infer<typeof sessionHeadSchema>;

/** GET /api/v1/training */
export const trainingSchema = z.strictObject({
  /** `off`: this dashboard is not set up for training; then nothing else is known. */
  mode: z.enum(['off', 'training']),
  lessons: z.array(lessonHeadSchema),
  control: controlStateSchema.nullable(),
  /** Why lessons and control are not known: one sentence. */
  controlProblem: z.string().nullable(),
  /** The session that is ready, running or frozen. */
  session: z
    .strictObject({ id: z.string(), mode: sessionSchema.shape.mode, state: sessionSchema.shape.state })
    .nullable(),
});
export type Training = z.infer<typeof trainingSchema>;

/** GET /api/v1/training/sessions : newest first; trainer. */
export const sessionListSchema = z.strictObject({ sessions: z.array(sessionHeadSchema) });
export type SessionList = z.infer<typeof sessionListSchema>;

/** POST /api/v1/training/sessions ; trainer. Seed null: the lesson's own. */
export const newSessionSchema = z.strictObject({
  trainee: sessionSchema.shape.trainee,
  trainer: sessionSchema.shape.trainer,
  lesson: topicIdSchema,
  seed: z.int().nonnegative().max(0xffff_ffff).nullable().default(null),
  mode: sessionSchema.shape.mode,
});
export type NewSession = z.infer<typeof newSessionSchema>;

/** POST …/start ; trainer. */
export const startSchema = z.strictObject({ speed: speedSchema.default(1) });
/** POST …/speed ; trainer. Another speed than ×1 ends scoring. */
export const speedChangeSchema = setSpeedSchema;
/** POST …/inject ; trainer. */
export const injectionSchema = injectSchema;
/** POST …/end ; trainer. `anyway`: also without the simulator; then it is not scored. */
export const endSchema = z.strictObject({ anyway: z.boolean().default(false) });

/** POST …/marks ; the trainee, while it runs or is frozen. */
export const newMarkSchema = z.strictObject({
  rig: topicIdSchema,
  side: sideSchema,
  channel: z.enum(NAMED_CHANNELS).nullable().default(null),
  action: z.enum(ACTIONS).nullable().default(null),
  /** How long ago the first tap was, ms: the further taps cost no time. */
  agoMs: z.int().nonnegative().max(60_000).default(0),
  /** Where the side was at that tap, as the screen showed it; left out: as last heard here. */
  alongMm: z.number().nullable().optional(),
});
export type NewMark = z.infer<typeof newMarkSchema>;

/** POST …/notes ; trainer. */
export const newNoteSchema = z.strictObject({ text: z.string().trim().min(1).max(500) });
/** POST …/self-rating ; the trainee, once, after the end. */
export const selfRatingSchema = z.strictObject({ rating: z.int().min(1).max(5) });
const pointSchema = z.string().trim().min(1).max(200);
/** POST …/debrief ; trainer: two things to keep, two to change. */
export const debriefPointsSchema = z.strictObject({
  keep: z.array(pointSchema).max(2),
  change: z.array(pointSchema).max(2),
});

/** One thing on the one timeline. */
export const timelineItemSchema = z.strictObject({
  kind: z.enum(['truth', 'mark', 'alarm', 'deviation', 'drift', 'note', 'pause']),
  at: utcSchema,
  /** Null: a moment, or it had not ended. */
  until: utcSchema.nullable(),
  rig: topicIdSchema.nullable(),
  side: sideSchema.nullable(),
  joint: z.string().nullable(),
  pass: z.string().nullable(),
  fromMm: z.number().nullable(),
  toMm: z.number().nullable(),
  /** Of truth: window id; of a mark: its id; of a deviation or call: pass id and number. */
  ref: z.string().nullable(),
  /** Words of the record, such as of an alarm or note; null where the kind says all. */
  text: z.string().nullable(),
});
export type TimelineItem = z.infer<typeof timelineItemSchema>;

/** GET …/debrief , and …/export.json: everything of a session, after the self-rating. */
export const debriefSchema = z.strictObject({
  schema: z.literal('girthlog.training-debrief/1'),
  session: sessionSchema,
  score: scoreSchema,
  /** Oldest first. */
  timeline: z.array(timelineItemSchema),
  /** What was welded in it; each can be opened at /api/v1/joints/{joint}/review. */
  joints: z.array(z.strictObject({ joint: z.string(), origin: originSchema })),
});
export type Debrief = z.infer<typeof debriefSchema>;

/** DELETE /api/v1/training/sessions/{id} ; trainer. */
export const sessionDeletedSchema = z.strictObject({
  deleted: z.string(),
  /** What of it is still kept elsewhere: one sentence each. */
  stays: z.array(z.string()),
});
export type SessionDeleted = z.infer<typeof sessionDeletedSchema>;

/** The stream's `training`: something about a session changed; never the truth. Read it again. */
export const trainingChangeSchema = z.strictObject({
  id: z.string(),
  /** `deleted`: there is no such session any more. */
  state: z.enum(['ready', 'running', 'frozen', 'ended', 'deleted']),
  mode: sessionSchema.shape.mode,
});
export type TrainingChange = z.infer<typeof trainingChangeSchema>;
