import { z } from 'zod';
import { type sideSchema, topicIdSchema } from '#core/messages/common';
import { CHANNEL_NAMES, type Channel } from '#core/sample/channels';
import { ACTIONS, NAMED_CHANNELS } from '#core/training/names';
import { FAULT_KINDS, type FaultKind } from '../faults/fault.ts';
import { EXAMPLE_PASSES } from '../scenario/example-passes.ts';
import { scenarioSchema } from '../scenario/scenario.ts';

const alongMm = z.number().min(-100).max(20_000);
const clock = z.number().min(0).max(12);
const { joints, pipe, schedule, rig, pass, weld } = scenarioSchema.shape;

/** A stretch in which something is wrong, or only looks so. Places as in a scenario: from 12 o'clock along the side. */
const windowSchema = z
  .strictObject({
    id: topicIdSchema,
    kind: z.enum(['signal', 'decoy']),
    fault: z.enum(FAULT_KINDS as [FaultKind, ...FaultKind[]]),
    /** In the unit of its kind (docs/simulator.md). */
    size: z.number().min(-100).max(1000).default(1),
    rig: topicIdSchema,
    pass: z.string().min(1),
    /** Counted from 1. */
    joint: z.int().positive().default(1),
    from_mm: alongMm.optional(),
    to_mm: alongMm.optional(),
    from_clock: clock.optional(),
    to_clock: clock.optional(),
    ramp_mm: z.number().nonnegative().max(20_000).default(0),
    other_pass: z.string().optional(),
    fault_channel: z.enum(CHANNEL_NAMES as [Channel, ...Channel[]]).optional(),
    overlap_mm: z.number().min(-100).max(100).default(0),
    /** Right answers; without any, every answer is. */
    channels: z.array(z.enum(NAMED_CHANNELS)).max(NAMED_CHANNELS.length).default([]),
    actions: z.array(z.enum(ACTIONS)).max(ACTIONS.length).default([]),
  })
  .superRefine((window, ctx) => {
    if (window.kind === 'decoy' && window.actions.some(action => action !== 'leaveAlone')) {
      const message = `decoy "${window.id}" is to be left alone: no other action is right`;
      ctx.addIssue({ code: 'custom', path: ['actions'], message });
    }
  });
export type LessonFileWindow = z.infer<typeof windowSchema>;

/** One pass of a rig as it was recorded: samples in a file beside the lesson. */
const recordingSchema = z.strictObject({
  rig: topicIdSchema,
  pass: z.string().min(1),
  joint: z.int().positive().default(1),
  /** Beside the lesson; docs/training.md has its columns. */
  file: z.string().regex(/^[\w.-]+\.csv$/, 'give the name of a .csv file beside the lesson'),
});
export type LessonRecording = z.infer<typeof recordingSchema>;

/** A lesson file: what is welded as in a scenario, and the windows of it. TOML, validated strictly. */
export const lessonFileSchema = z
  .strictObject({
    schema: z.literal('girthlog.lesson/1'),
    id: topicIdSchema,
    title: z.string().trim().min(1).max(120),
    objectives: z.array(z.string().trim().min(1).max(200)).min(1).max(10),
    /** How long it runs at speed 1. */
    minutes: z.number().positive().max(600),
    seed: z.int().nonnegative().max(0xffff_ffff).default(1),
    /** What is welded: as in a scenario, and an end to it. */
    joints,
    pipe,
    schedule,
    rig,
    pass,
    weld,
    /** Passes that were recorded and are played back; then nothing is simulated. */
    recording: z.array(recordingSchema).max(40).default([]),
    window: z.array(windowSchema).max(100).default([]),
  })
  .superRefine((lesson, ctx) => {
    const say = (path: PropertyKey[], message: string) => ctx.addIssue({ code: 'custom', path, message });
    if (lesson.joints.count === 0) say(['joints', 'count'], 'a lesson ends: give joints.count');
    const rigs = lesson.rig.map(({ id }) => id);
    const all = (lesson.pass.length > 0 ? lesson.pass : EXAMPLE_PASSES).map(({ name }) => name);
    const welded = lesson.weld.length > 0 ? lesson.weld : all;
    const known = (key: string, i: number, at: { rig: string; pass: string; joint: number }) => {
      if (!rigs.includes(at.rig)) say([key, i, 'rig'], `there is no rig "${at.rig}": ${rigs.join(', ')}`);
      if (!welded.includes(at.pass)) {
        say([key, i, 'pass'], `pass "${at.pass}" is not welded: ${welded.join(', ')}`);
      }
      if (at.joint > lesson.joints.count) {
        say([key, i, 'joint'], `joint ${at.joint} is not welded: joints.count is ${lesson.joints.count}`);
      }
    };
    for (const [i, recording] of lesson.recording.entries()) known('recording', i, recording);
    const ids = lesson.window.map(({ id }) => id);
    for (const [i, window] of lesson.window.entries()) {
      known('window', i, window);
      if (ids.indexOf(window.id) !== i) say(['window', i, 'id'], `window "${window.id}" stands twice`);
    }
  });
export type LessonFile = z.infer<typeof lessonFileSchema>;

/** Side of a rig the lesson names. */
export function sideOf(lesson: LessonFile, rigId: string): z.infer<typeof sideSchema> {
  return lesson.rig.find(({ id }) => id === rigId)!.side;
}
