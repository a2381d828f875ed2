import { z } from 'zod';
import { measuredSchema } from './common.ts';

/** Channels whose window means go together into the pattern statistic, in the order of its vectors. */
export const PATTERN_CHANNELS = [
  'weldingCurrent',
  'arcVoltage',
  'wireFeedSpeed',
  'travelSpeed',
  'gasFlow',
] as const;
/** All that is followed along the weld; a spread is the standard deviation inside a window (A, V). */
export const DRIFT_CHANNELS = [...PATTERN_CHANNELS, 'currentSpread', 'voltageSpread'] as const;
export const driftChannelSchema = z.enum(DRIFT_CHANNELS);
export type DriftChannel = z.infer<typeof driftChannelSchema>;

/** What a call may be about: oscillation is followed for trims only. */
export const CALL_QUANTITIES = [...DRIFT_CHANNELS, 'oscillationWidth', 'oscillationFrequency'] as const;
export const callQuantitySchema = z.enum(CALL_QUANTITIES);
export type CallQuantity = z.infer<typeof callQuantitySchema>;

/** How changes along the weld are called (docs/drift.md). All in standard deviations of good window means. */
export const driftSettingsSchema = z.strictObject({
  /** Reference value of the CUSUM: half the shift worth finding. */
  k: z.number().positive().max(10),
  /** Decision interval of the CUSUM. */
  h: z.number().positive().max(30),
  /** Weight of the newest window in the EWMA, and half width of its limits. */
  lambda: z.number().min(0.01).max(1),
  width: z.number().positive().max(6),
  /** Share of good windows that the pattern statistic T² stays below, 0.99999 = all but one in 100,000. */
  patternConfidence: z.number().min(0.9).max(0.9999999),
  /** Out of range: beyond the limit this long before it is called, back inside this long before it ends, s. */
  onDelayS: z.number().min(0).max(60),
  offDelayS: z.number().min(0).max(60),
});
export type DriftSettings = z.infer<typeof driftSettingsSchema>;

/**
 * What good windows of one pass type look like on this rig: learned from its last good passes, or, before
 * there are enough, nominal and tolerance of the procedure (then there is no covariance and no pattern rule).
 */
export const driftBaselineSchema = z.strictObject({
  source: z.enum(['rig', 'procedure']),
  /** Good passes and windows it was learned from; 0 where it is the procedure's. */
  passes: z.int().nonnegative(),
  windows: z.int().nonnegative(),
  /** Where limits differ by clock zone: the zone it holds in; null: all round. */
  clockZone: z.strictObject({ from: z.number(), to: z.number() }).nullable(),
  channels: z.array(driftChannelSchema).max(DRIFT_CHANNELS.length),
  mean: z.array(z.number()),
  /** What every rule counts in (docs/drift.md "Sigma"). */
  standardDeviation: z.array(z.number()),
  /** Standard deviation of windows about their own pass, and of the levels of whole passes. */
  windowDeviation: z.array(z.number()),
  passDeviation: z.array(z.number()),
  /** Of neighbouring windows of a pass, 0 ≤ r < 1. */
  correlation: z.array(z.number()),
  /** Row by row; null where it is the procedure's. */
  covariance: z.array(z.number()).nullable(),
});
export type DriftBaseline = z.infer<typeof driftBaselineSchema>;

/** One thing that a change looks like, with what speaks for and against it. Never a verdict. */
export const looksLikeSchema = z.strictObject({
  cause: z.string().max(40),
  /** One sentence for a person. */
  text: z.string().max(300),
  speaksFor: z.array(z.string().max(200)).max(6),
  speaksAgainst: z.array(z.string().max(200)).max(6),
});
export type LooksLike = z.infer<typeof looksLikeSchema>;

/** Rules that call a change: a trim is a change that the operator may make, told and never announced. */
export const driftRuleSchema = z.enum(['drifting', 'projected', 'pattern', 'trim']);
export type DriftRule = z.infer<typeof driftRuleSchema>;

/** One change along a pass. Times are s from the first sample of the stream shown, places mm along the side. */
export const driftCallSchema = z.strictObject({
  /** From 1 along the pass. */
  number: z.int().positive(),
  rule: driftRuleSchema,
  /** What moved; null for a pattern in which no channel stands out alone. */
  quantity: callQuantitySchema.nullable(),
  unit: z.string().max(20).nullable(),
  direction: z.enum(['high', 'low']).nullable(),
  shape: z.enum(['step', 'ramp']).nullable(),
  /** Estimated onset, when it was called, and when it was over (null: at the end of the pass it still held). */
  fromS: z.number(),
  fromMm: measuredSchema,
  calledS: z.number(),
  calledMm: measuredSchema,
  toS: z.number().nullable(),
  toMm: measuredSchema,
  fromClock: measuredSchema,
  toClock: measuredSchema,
  /** What good welds have here, and the estimated change, in `unit` and in standard deviations. */
  baseline: measuredSchema,
  change: measuredSchema,
  changeSigma: measuredSchema,
  /** Where the trend meets a limit before the pass ends; only for `projected`. */
  crossing: z
    .strictObject({ limit: z.enum(['min', 'max']), value: z.number(), atMm: measuredSchema, atS: z.number() })
    .nullable(),
  /** Channels behind a pattern, largest first: part of T² and distance from the baseline. */
  contributions: z
    .array(z.strictObject({ quantity: driftChannelSchema, amount: z.number(), deviations: z.number() }))
    .max(DRIFT_CHANNELS.length),
  /** For a trim: what it does to the deposit area, % of before. */
  depositChangePercent: measuredSchema,
  /** One sentence for a person. */
  text: z.string().max(300),
  looksLike: z.array(looksLikeSchema).max(3),
});
export type DriftCall = z.infer<typeof driftCallSchema>;

/** Sums over the windows of a pass: n, means and co-moments of the channels that were known throughout. */
export const windowStatisticsSchema = z.strictObject({
  clockZone: z.strictObject({ from: z.number(), to: z.number() }).nullable(),
  windows: z.int().nonnegative(),
  channels: z.array(driftChannelSchema).max(DRIFT_CHANNELS.length),
  mean: z.array(z.number()),
  /** Σ (xᵢ − x̄ᵢ)(xⱼ − x̄ⱼ), row by row. */
  coMoment: z.array(z.number()),
  /** Pairs of windows that follow each other, and Σ (xᵢ − x̄)(xᵢ₊₁ − x̄) over them, by channel. */
  pairs: z.int().nonnegative(),
  lagCoMoment: z.array(z.number()),
});
export type WindowStatistics = z.infer<typeof windowStatisticsSchema>;

/** How a pass held against what this rig does when all is well; part of its record. */
export const passDriftSchema = z.strictObject({
  settings: driftSettingsSchema,
  /** One per clock zone; empty where nothing is judged. */
  baselines: z.array(driftBaselineSchema).max(6),
  windows: z.array(windowStatisticsSchema).max(6),
  /** Where the pass was taken to end, mm along the side; null: not known, so nothing is projected. */
  passEndMm: measuredSchema,
  calls: z.array(driftCallSchema),
  /** Calls beyond what a record holds. */
  callsCut: z.int().nonnegative(),
  /** Rules or channels that were not judged, each with its reason. */
  notJudged: z.array(
    z.strictObject({
      rule: driftRuleSchema.nullable(),
      quantity: driftChannelSchema.nullable(),
      text: z.string().max(200),
    }),
  ),
  /** Whether it may teach the baseline, and if not why not. */
  teaches: z.strictObject({
    good: z.boolean(),
    why: z.string().max(200).nullable(),
    /** Nothing speaks against it but that it runs, all along, unlike the good passes before it. */
    unlike: z.boolean().optional(),
  }),
});
export type PassDrift = z.infer<typeof passDriftSchema>;

/** A change that holds now, for the live view. */
export const driftingSchema = z.strictObject({
  number: z.int().positive(),
  rule: driftRuleSchema,
  quantity: callQuantitySchema.nullable(),
  unit: z.string().max(20).nullable(),
  direction: z.enum(['high', 'low']).nullable(),
  sinceUs: z.int().nonnegative(),
  sincePositionMm: measuredSchema,
  change: measuredSchema,
  changeSigma: measuredSchema,
  /** Weld ahead before the trend meets a limit, mm; null where it does not. */
  crossingInMm: measuredSchema,
  text: z.string().max(300),
  looksLike: z.array(looksLikeSchema).max(3),
});
export type Drifting = z.infer<typeof driftingSchema>;
