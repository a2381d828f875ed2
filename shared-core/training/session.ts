/** A training session as the truck keeps it: who, which lesson, marks, notes, score. Local, exportable, deletable. */
import { z } from 'zod';
import { sideSchema, topicIdSchema, utcSchema } from '../messages/common.ts';
import { ACTIONS, lessonHeadSchema, lessonWindowSchema, NAMED_CHANNELS } from './lesson.ts';

/** "Something is wrong here": what a trainee saw, in three taps. */
export const markSchema = z.strictObject({
  id: z.string().min(1).max(60),
  at: utcSchema,
  rig: topicIdSchema,
  side: sideSchema,
  /** Where the side then was, mm; null where that is not known. */
  alongMm: z.number().nullable(),
  channel: z.enum(NAMED_CHANNELS).nullable(),
  action: z.enum(ACTIONS).nullable(),
});
export type Mark = z.infer<typeof markSchema>;

export const windowScoreSchema = z.strictObject({
  windowId: z.string(),
  /** Decoys are right when nothing was marked. */
  result: z.enum(['hit', 'late', 'miss', 'falseAlarm', 'leftAlone']),
  markId: z.string().nullable(),
  /** From its true beginning to the mark. */
  seconds: z.number().nullable(),
  weldMm: z.number().nullable(),
  rightChannel: z.boolean().nullable(),
  rightAction: z.boolean().nullable(),
});

export const scoreSchema = z.strictObject({
  /** Null where it counts; else why it does not. */
  notScored: z.string().nullable(),
  windows: z.array(windowScoreSchema),
  /** Marks that belong to no window, and those on the other side of one. */
  falseAlarms: z.array(z.string()),
  wrongSide: z.array(z.string()),
  counts: z.strictObject({
    hit: z.int(),
    late: z.int(),
    miss: z.int(),
    falseAlarm: z.int(),
    wrongSide: z.int(),
    leftAlone: z.int(),
    rightChannel: z.int(),
    rightAction: z.int(),
  }),
  /** Only with at least 10 signal and 10 noise windows; else null and why. */
  sensitivity: z
    .strictObject({ dPrime: z.number(), low: z.number(), high: z.number(), criterion: z.number() })
    .nullable(),
  sensitivityReason: z.string().nullable(),
});
export type Score = z.infer<typeof scoreSchema>;

export const sessionSchema = z.strictObject({
  id: z.string().min(1).max(60),
  trainee: z.string().trim().min(1).max(80),
  trainer: z.string().trim().min(1).max(80),
  lesson: lessonHeadSchema,
  seed: z.int(),
  mode: z.enum(['practice', 'check']),
  state: z.enum(['ready', 'running', 'frozen', 'ended']),
  startedAt: utcSchema.nullable(),
  endedAt: utcSchema.nullable(),
  marks: z.array(markSchema),
  notes: z.array(z.strictObject({ at: utcSchema, text: z.string().min(1).max(500) })),
  /** 1 to 5, given before the score is shown. */
  selfRating: z.int().min(1).max(5).nullable(),
  keep: z.array(z.string().max(200)).max(2),
  change: z.array(z.string().max(200)).max(2),
  truth: z.array(
    lessonWindowSchema.extend({ beganUtc: utcSchema.nullable(), endedUtc: utcSchema.nullable() }),
  ),
  score: scoreSchema.nullable(),
});
export type TrainingSession = z.infer<typeof sessionSchema>;
