/**
 * What the simulator is told in training: HTTP on loopback with a token, never a topic. It moves simulated rigs only.
 *
 * GET /lessons · GET /state · GET /truth · POST /open {lesson, seed} · POST /start {speed} · POST /freeze ·
 * POST /resume · POST /speed {speed} · POST /inject {…} · POST /end
 * `Authorization: Bearer <token>` on every request; bodies are application/json; problems are problem+json with a
 * `code`. Every POST is answered with the new state. What does not fit the state is 409 and changes nothing:
 *
 *   idle ─open→ ready ─start→ running ⇄ frozen (freeze, resume)        running, frozen, ready ─end→ ended
 *   open: idle, ready, ended · speed: ready, running, frozen · inject: running, frozen, while that rig is in a pass
 *
 * `girthlog-simulator train` gives the dashboard it starts the address (setting `training.control_url`) and the token
 * (environment, TRAINING_TOKEN_ENV). A real dashboard has neither.
 */
import { z } from 'zod';
import { sideSchema, topicIdSchema, utcSchema } from '../messages/common.ts';
import { lessonHeadSchema, lessonWindowSchema } from './lesson.ts';
import { ACTIONS, NAMED_CHANNELS } from './names.ts';

/** The secret between the dashboard and the simulator; never on a command line, never in a page. */
export const TRAINING_TOKEN_ENV = 'GIRTHLOG_TRAINING_TOKEN';
/** The secret in the trainer's link: whoever shows it may steer lessons and see the truth. The dashboard checks it. */
export const TRAINER_KEY_ENV = 'GIRTHLOG_TRAINING_TRAINER_KEY';

/** GET /lessons */
export const lessonListSchema = z.strictObject({ lessons: z.array(lessonHeadSchema).max(500) });
export type LessonList = z.infer<typeof lessonListSchema>;

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
      /** Truly travelled from the start of the running pass, mm (as the live view's position); null between passes. */
      alongMm: z.number().nullable(),
      arc: z.boolean(),
    }),
  ),
});
export type ControlState = z.infer<typeof controlStateSchema>;

/** POST /open. Seed null: the lesson's own. */
export const openLessonSchema = z.strictObject({
  lesson: topicIdSchema,
  seed: z.int().nonnegative().max(0xffff_ffff).nullable(),
});
export type OpenLesson = z.infer<typeof openLessonSchema>;

/** POST /start and POST /speed. */
export const setSpeedSchema = z.strictObject({ speed: speedSchema });
export type SetSpeed = z.infer<typeof setSpeedSchema>;

/** POST /inject: from where the rig is now. */
export const injectSchema = z.strictObject({
  rig: topicIdSchema,
  /** The simulator's name of the fault (docs/simulator.md). */
  fault: z.string().min(1).max(40),
  /** In the unit of its kind. */
  size: z.number().min(-100).max(1000),
  rampMm: z.number().nonnegative().max(2000),
  /** Weld it lasts from now on, mm; null: to the end of the pass. */
  lengthMm: z.number().positive().max(20_000).nullable(),
  /** wrongPass: the pass whose program runs instead. */
  otherPass: z.string().min(1).max(60).optional(),
  /** sensorDrift: the channel that drifts. */
  channel: z.string().min(1).max(40).optional(),
  /** Channels and actions that are right answers; left out: any. */
  channels: z.array(z.enum(NAMED_CHANNELS)).max(NAMED_CHANNELS.length).optional(),
  actions: z.array(z.enum(ACTIONS)).max(ACTIONS.length).optional(),
});
export type Injection = z.infer<typeof injectSchema>;

/** What a request was refused for; with 400, 401, 404, 405, 409, 413, 415, 422, 500 or 503. */
export const CONTROL_PROBLEMS = [
  'badJson',
  'tokenWrong',
  'routeUnknown',
  'methodUnknown',
  'lessonUnknown',
  'rigUnknown',
  'wrongState',
  'noPassRunning',
  'tooLarge',
  'notJson',
  'notAcceptable',
  'internal',
  'notReady',
] as const;
export type ControlProblem = (typeof CONTROL_PROBLEMS)[number];

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
