/** A lesson: what is welded, what goes wrong where, what must be left alone, and what a trainee should do. */
import { z } from 'zod';
import { sideSchema, topicIdSchema } from '../messages/common.ts';
import { ACTIONS, NAMED_CHANNELS } from './names.ts';

/** A stretch in which something is wrong (`signal`) or only looks so (`decoy`). */
export const lessonWindowSchema = z.strictObject({
  id: z.string().min(1).max(40),
  kind: z.enum(['signal', 'decoy']),
  /** The simulator's name of the fault. */
  fault: z.string().min(1).max(40),
  size: z.number(),
  rig: topicIdSchema,
  side: sideSchema,
  joint: z.string().max(80),
  pass: z.string().max(60),
  /** Truly travelled by the side from the pass's own start, mm; to null: until the pass ends. */
  fromMm: z.number(),
  toMm: z.number().nullable(),
  rampMm: z.number().nonnegative(),
  /** Channels that are right answers, and actions. Empty: any. */
  channels: z.array(z.enum(NAMED_CHANNELS)),
  actions: z.array(z.enum(ACTIONS)),
  /** Put in by the trainer while the lesson ran. */
  injected: z.boolean(),
});
export type LessonWindow = z.infer<typeof lessonWindowSchema>;

/** What a lesson says of itself, without its secrets. */
export const lessonHeadSchema = z.strictObject({
  id: topicIdSchema,
  title: z.string().min(1).max(120),
  objectives: z.array(z.string().min(1).max(200)).max(10),
  minutes: z.number().positive(),
  rigs: z.int().positive(),
  /** What it runs with unless another is asked for. */
  seed: z.int().nonnegative().max(0xffff_ffff),
  /** Made of a recorded joint, names removed. */
  replay: z.boolean(),
});
export type LessonHead = z.infer<typeof lessonHeadSchema>;
