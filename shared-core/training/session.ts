/** A training session as the truck keeps it: who, which lesson, marks, notes, score. Local, exportable, deletable. */
import { z } from 'zod';
import { sideSchema, topicIdSchema, utcSchema } from '../messages/common.ts';
import { truthSchema } from './control.ts';
import { lessonHeadSchema } from './lesson.ts';
import { ACTIONS, NAMED_CHANNELS } from './names.ts';

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
  /** Decoys are right when nothing was marked, or marked to be left alone. `notReached`: the lesson ended before it. */
  result: z.enum(['hit', 'late', 'miss', 'falseAlarm', 'leftAlone', 'notReached']),
  markId: z.string().nullable(),
  /** From its true beginning to the mark, time while frozen left out. */
  seconds: z.number().nullable(),
  weldMm: z.number().nullable(),
  /** Null: the mark named none, or there is no mark. */
  rightChannel: z.boolean().nullable(),
  rightAction: z.boolean().nullable(),
});
export type WindowScore = z.infer<typeof windowScoreSchema>;

export const scoreSchema = z.strictObject({
  /** Null where it counts; else why it does not: then there are no windows and no counts. */
  notScored: z.string().nullable(),
  windows: z.array(windowScoreSchema),
  /** Marks that belong to no window, and those on the other side of one. */
  falseAlarms: z.array(z.string()),
  wrongSide: z.array(z.string()),
  /** Marks in a window that was answered before: neither right nor wrong. */
  repeats: z.array(z.string()),
  counts: z
    .strictObject({
      /** Windows that began. */
      signals: z.int(),
      decoys: z.int(),
      hit: z.int(),
      late: z.int(),
      miss: z.int(),
      /** Decoys that were marked, and marks that belong to no window. */
      falseAlarm: z.int(),
      wrongSide: z.int(),
      leftAlone: z.int(),
      /** Of the hits and the late ones. */
      rightChannel: z.int(),
      rightAction: z.int(),
    })
    .nullable(),
  /** Only with at least 10 signal and 10 noise windows; else null and why. */
  sensitivity: z
    .strictObject({
      dPrime: z.number(),
      /** 95 % interval of d′. */
      low: z.number(),
      high: z.number(),
      /** Above 0: slow to call; below 0: quick to call. */
      criterion: z.number(),
      signals: z.int(),
      hits: z.int(),
      /** Decoys, and stretches of clean weld as long as the usual signal. */
      noises: z.int(),
      falseAlarms: z.int(),
    })
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
  /** Hints in practice, none in a check. */
  mode: z.enum(['practice', 'check']),
  state: z.enum(['ready', 'running', 'frozen', 'ended']),
  /** Simulated rigs, each with the side it welds. */
  rigs: z.array(z.strictObject({ rig: topicIdSchema, side: sideSchema })),
  createdAt: utcSchema,
  startedAt: utcSchema.nullable(),
  endedAt: utcSchema.nullable(),
  /** While frozen; to null: still. Time that does not count. */
  pauses: z.array(z.strictObject({ from: utcSchema, to: utcSchema.nullable() })),
  /** Ran at another speed than ×1. */
  hurried: z.boolean(),
  /** Why the truth is not known to the end, such as a simulator that went away; null: it is. */
  truthGap: z.string().nullable(),
  marks: z.array(markSchema),
  notes: z.array(z.strictObject({ at: utcSchema, text: z.string().min(1).max(500) })),
  /** 1 to 5, given before the score is shown. */
  selfRating: z.int().min(1).max(5).nullable(),
  /** Written together in the debrief. */
  keep: z.array(z.string().max(200)).max(2),
  change: z.array(z.string().max(200)).max(2),
  truth: truthSchema.shape.windows,
  score: scoreSchema.nullable(),
});
export type TrainingSession = z.infer<typeof sessionSchema>;
