/**
 * What the simulator is told in training: HTTP on loopback with a token, never a topic. It moves simulated rigs only.
 *
 * GET /lessons · GET /state · GET /truth · POST /open {lesson, seed} · POST /start {speed} · POST /freeze ·
 * POST /resume · POST /speed {speed} · POST /inject {…} · POST /end
 * `Authorization: Bearer <token>` on every request; problems are problem+json.
 */
import { z } from 'zod';
import { sideSchema, topicIdSchema, utcSchema } from '../messages/common.ts';
import { lessonHeadSchema, lessonWindowSchema } from './lesson.ts';

export const SPEEDS = [1, 2, 4, 8] as const;
export const speedSchema = z.union([z.literal(1), z.literal(2), z.literal(4), z.literal(8)]);

export const controlStateSchema = z.strictObject({
  lesson: lessonHeadSchema.nullable(),
  seed: z.int().nullable(),
  state: z.enum(['idle', 'ready', 'running', 'frozen', 'ended']),
  speed: speedSchema,
  /** True once it ran at another speed than 1: then it is not scored. */
  hurried: z.boolean(),
  simulatedS: z.number(),
  rigs: z.array(
    z.strictObject({
      rig: topicIdSchema,
      side: sideSchema,
      joint: z.string().nullable(),
      pass: z.string().nullable(),
      alongMm: z.number().nullable(),
      arc: z.boolean(),
    }),
  ),
});
export type ControlState = z.infer<typeof controlStateSchema>;

export const openLessonSchema = z.strictObject({ lesson: topicIdSchema, seed: z.int().nonnegative() });

export const injectSchema = z.strictObject({
  rig: topicIdSchema,
  fault: z.string().min(1).max(40),
  size: z.number(),
  rampMm: z.number().nonnegative().max(2000),
  /** Weld it lasts from now on, mm; null: to the end of the pass. */
  lengthMm: z.number().positive().max(20_000).nullable(),
});
export type Injection = z.infer<typeof injectSchema>;

/** Everything that has been or will be wrong, with when it truly began and ended; for the trainer and the score. */
export const truthSchema = z.strictObject({
  windows: z.array(
    lessonWindowSchema.extend({
      /** By the wall clock of the simulator; null: not yet. */
      beganUtc: utcSchema.nullable(),
      endedUtc: utcSchema.nullable(),
    }),
  ),
});
export type Truth = z.infer<typeof truthSchema>;
