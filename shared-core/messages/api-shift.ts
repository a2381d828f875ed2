/** HTTP shape of one shift: what was welded, used, left open and proved. Folds that make it: shift/. */
import { z } from 'zod';
import { DECISIONS } from '../journal/decisions.ts';
import { checkStandingSchema } from './api-journal.ts';
import { labelSchema, measuredSchema, originSchema, sideSchema, topicIdSchema, utcSchema } from './common.ts';

const count = z.int().nonnegative();

/** A sum over passes: over `known` of the `of` there are. A reason wherever the two differ or the value is null. */
export const shiftFigureSchema = z.strictObject({
  value: measuredSchema,
  known: count,
  of: count,
  reason: z.string().nullable(),
});
export type ShiftFigure = z.infer<typeof shiftFigureSchema>;

/** What was welded, used and left open: of one rig, or of all together. */
const workSchema = z.strictObject({
  passes: count,
  /** Work that went on after its pass was closed; not among `passes`. */
  continuations: count,
  restarts: count,
  /** Of passes and continuations those whose arc may still burn. */
  open: count,
  /** Recorded while the wall clock was not set: their times may be wrong. */
  clockUnset: count,
  /** While the arc burned and was observed. Null: no pass is recorded. */
  arcTimeS: measuredSchema,
  /** Inside passes, but in no sample: arc time may be missing for as long. */
  unobservedS: z.number().nonnegative(),
  wireM: shiftFigureSchema,
  wireKg: shiftFigureSchema,
  /** Wire mass × deposition efficiency / arc time of the passes whose mass is known, kg/h. */
  depositionKgPerH: shiftFigureSchema,
  /** While the arc burned. */
  gasL: shiftFigureSchema,
  spoolChanges: count,
  bottleChanges: count,
  deviations: count,
  /** On work of a joint that has no disposition, or of none. */
  deviationsOpen: count,
  /** Changes along the weld; trims are none. */
  changes: count,
  changesOpen: count,
});
export type ShiftWork = z.infer<typeof workSchema>;

/** How a rig was proved at one moment. */
export const shiftStandingSchema = z.strictObject({
  at: utcSchema,
  ready: z.boolean(),
  /** When the first of the checks that hold falls due; null where none does. */
  validUntil: utcSchema.nullable(),
  /** Checks that do not hold. */
  missing: z.array(checkStandingSchema.pick({ check: true, state: true })),
  /** The same, and references overdue, one sentence each. */
  words: z.array(z.string()),
});
export type ShiftStanding = z.infer<typeof shiftStandingSchema>;

export const shiftRigSchema = z.strictObject({
  site: topicIdSchema,
  rig: topicIdSchema,
  ...workSchema.shape,
  firstArcUtc: utcSchema.nullable(),
  lastArcUtc: utcSchema.nullable(),
  /** From the first arc of the shift to the end of its last one. */
  elapsedS: measuredSchema,
  /** Arc time / elapsed. */
  operatingFactor: measuredSchema,
  /** Why arc time, elapsed or operating factor is not known. */
  arcReason: z.string().nullable(),
  /** The wire on it at the end of the shift, or now. */
  spool: z.strictObject({
    leftKg: measuredSchema,
    putOnKg: measuredSchema,
    changedAt: utcSchema.nullable(),
    lot: z.string().nullable(),
    /** It was changed within a pass, whose wire is shared by arc time. */
    estimated: z.boolean(),
    reason: z.string().nullable(),
  }),
  /** Announced alarms; null where the log says nothing of that time. */
  alarms: count.nullable(),
  verification: z.strictObject({
    /** As its first arc began; null without one. */
    before: shiftStandingSchema.nullable(),
    /** At the end of the shift, or now. */
    after: shiftStandingSchema,
    /** Checks entered for this shift after its last arc. */
    checkedAfter: z.array(
      z.strictObject({
        check: checkStandingSchema.shape.check,
        at: utcSchema,
        result: z.enum(['pass', 'fail', 'notShown']),
      }),
    ),
  }),
});
export type ShiftRig = z.infer<typeof shiftRigSchema>;

export const shiftJointSchema = z.strictObject({
  joint: labelSchema,
  /** Passes and continuations of this shift. */
  passes: count,
  /** At the end of the shift, or now; null where its procedure is not known. */
  complete: z.boolean().nullable(),
  missing: z.array(z.strictObject({ pass: z.string(), side: sideSchema, state: z.enum(['none', 'open']) })),
  /** What is missing in words; null where it is complete. */
  text: z.string().nullable(),
  onHold: z.boolean(),
  /** As last ruled by a named person; null until then. */
  decision: z.enum(DECISIONS).nullable(),
  deviations: count,
  changes: count,
});
export type ShiftJoint = z.infer<typeof shiftJointSchema>;

/** What somebody entered for the shift. */
export const shiftEventSchema = z.strictObject({
  site: topicIdSchema,
  rig: topicIdSchema,
  event: z.enum(['stop', 'spoolChange', 'gasBottleChange']),
  at: utcSchema,
  by: z.string(),
  words: z.string().nullable(),
  lot: z.string().nullable(),
  wireKg: measuredSchema,
});
export type ShiftEvent = z.infer<typeof shiftEventSchema>;

/** GET /api/v1/shift?date=&site=&origin= : one shift of one origin; figures of two are never mixed. */
export const shiftSchema = z.strictObject({
  schema: z.literal('girthlog.shift/1'),
  /** The day the shift began, by the clocks of `zone`. */
  date: z.iso.date(),
  zone: z.string(),
  fromUtc: utcSchema,
  /** Not included. */
  toUtc: utcSchema,
  /** As it stood then. */
  at: utcSchema,
  /** The shift is not over yet. */
  running: z.boolean(),
  /** Null: all sites. */
  site: topicIdSchema.nullable(),
  sites: z.array(topicIdSchema),
  origin: originSchema,
  /** Origins that have work in this shift. */
  origins: z.array(originSchema),
  /** Share of the wire that is taken to stay in the joint. */
  depositionEfficiency: z.number(),
  total: workSchema,
  rigs: z.array(shiftRigSchema),
  /** With work of this shift, in the order of their first arc. */
  joints: z.array(shiftJointSchema),
  /** Passes that count for no joint. */
  withoutJoint: count,
  events: z.array(shiftEventSchema),
  /** Announced for rigs together, and for the dashboard itself; null where the log says nothing of that time. */
  alarms: z.strictObject({
    rigs: count.nullable(),
    dashboard: count.nullable(),
    reason: z.string().nullable(),
  }),
});
export type Shift = z.infer<typeof shiftSchema>;
