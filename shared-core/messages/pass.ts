import { z } from 'zod';
import { limitBasisSchema } from '../procedure/procedure.ts';
import {
  clockSchema,
  labelSchema,
  measuredSchema,
  originSchema,
  reasonSchema,
  recordTimeUsSchema,
  sideSchema,
  streamIdSchema,
  utcSchema,
} from './common.ts';
import { passDriftSchema } from './drift.ts';

export const verdictStateSchema = z.enum(['in', 'marginal', 'out', 'notJudged']);
export type VerdictState = z.infer<typeof verdictStateSchema>;

/** One limit held against one pass. `value` is the pass average, or for a window or instant the extreme. */
export const verdictSchema = z.strictObject({
  quantity: z.string(),
  basis: limitBasisSchema,
  unit: z.string(),
  min: measuredSchema,
  nominal: measuredSchema,
  max: measuredSchema,
  value: measuredSchema,
  /** Expanded uncertainty, k = 2, in `unit`. */
  expandedUncertainty: measuredSchema,
  state: verdictStateSchema,
  outLengthMm: measuredSchema,
  longestRunMm: measuredSchema,
  reason: z.string().nullable(),
});
export type Verdict = z.infer<typeof verdictSchema>;

export const deviationSchema = verdictSchema.extend({
  fromS: z.number(),
  toS: z.number(),
  fromMm: measuredSchema,
  toMm: measuredSchema,
  /** The value furthest beyond the limit. */
  extreme: measuredSchema,
});
export type Deviation = z.infer<typeof deviationSchema>;

export const stopSchema = z.strictObject({
  startS: z.number(),
  endS: z.number(),
  /** Run-out position where the arc stopped, mm along the weld from this pass's own start. */
  positionMm: measuredSchema,
});

/** The start and stop sequence of a pass, each a length of time; null where its channel is missing. */
export const sequenceSchema = z.strictObject({
  gasBeforeArcS: measuredSchema,
  /** Arc burning before travel starts: the time in which the puddle forms. */
  arcBeforeTravelS: measuredSchema,
  /** Arc burning after travel has stopped for the last time. */
  arcAfterTravelS: measuredSchema,
  gasAfterArcS: measuredSchema,
});

/** The pass object of `girthlog.replay/1`. Times are seconds from the first sample of the stream shown. */
export const passSchema = z.strictObject({
  index: z.int().positive(),
  procedurePass: z.string().nullable(),
  startS: z.number(),
  endS: z.number(),
  arcTimeS: z.number(),
  elapsedS: z.number(),
  restarts: z.int().nonnegative(),
  stops: z.array(stopSchema),
  extinctions: z.int().nonnegative(),
  unobservedS: z.number(),
  standingArcS: measuredSchema,
  standingArcKj: measuredSchema,
  meanCurrentA: measuredSchema,
  meanVoltageV: measuredSchema,
  meanWireFeedMmS: measuredSchema,
  meanTravelMmS: measuredSchema,
  runOutLengthMm: measuredSchema,
  energyBasis: z.enum(['instantaneous', 'frameProduct']),
  arcEnergyKj: measuredSchema,
  meanProductKj: measuredSchema,
  arcEnergyKjMm: measuredSchema,
  heatInputKjMm: measuredSchema,
  thermalEfficiency: z.number(),
  wireUsedM: measuredSchema,
  wireUsedKg: measuredSchema,
  /** Shielding gas that flowed while the arc burned. Absent where the source gives no flow, and from older records. */
  gasUsedL: measuredSchema.optional(),
  /** Run-out positions where the pass began and now stands; mm from 12 o'clock where a side is assigned. */
  startPositionMm: measuredSchema,
  endPositionMm: measuredSchema,
  positionUncertaintyMm: measuredSchema,
  sequence: sequenceSchema,
  /** The index of the pass this one continues, where it was closed and work went on. */
  continues: z.int().positive().nullable(),
  label: z.string().nullable(),
  verdicts: z.array(verdictSchema),
  /** Absent from records of edges that do not follow changes along the weld. */
  drift: passDriftSchema.optional(),
  reasons: z.array(reasonSchema),
});
export type Pass = z.infer<typeof passSchema>;

/** What the `pass` topic and the record lane carry: the pass with its ids. `open` until it is closed. */
export const passMessageSchema = z.strictObject({
  origin: originSchema,
  site: z.string(),
  rig: z.string(),
  stream: streamIdSchema,
  /** Stable along the pass's life: stream id and index. */
  passId: z.string().max(60),
  state: z.enum(['open', 'closed']),
  joint: labelSchema.nullable(),
  side: sideSchema.nullable(),
  assignmentId: z.string().max(60).nullable(),
  procedureId: z.string().nullable(),
  procedureRevision: z.int().nullable(),
  startUs: recordTimeUsSchema,
  endUs: recordTimeUsSchema,
  startUtc: utcSchema,
  endUtc: utcSchema,
  clock: clockSchema,
  pass: passSchema,
  deviations: z.array(deviationSchema),
});
export type PassMessage = z.infer<typeof passMessageSchema>;
