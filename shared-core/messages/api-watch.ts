/** HTTP shapes of how changes along the weld are called, what that does, and how right the calls were. */
import { z } from 'zod';
import { labelSchema, measuredSchema, originSchema, sideSchema, topicIdSchema, utcSchema } from './common.ts';
import { driftSettingsSchema } from './drift.ts';

const chartEffectSchema = z.strictObject({
  windowsToFalseCall: z.number().nullable(),
  falseCallsPer100Passes: z.number(),
  shifts: z.array(
    z.strictObject({ sigma: z.number(), windows: z.number().nullable(), weldMm: z.number().nullable() }),
  ),
});

/** Computed, for windows that are independent (drift/effect-of.ts). */
export const computedEffectSchema = z.strictObject({
  cusum: chartEffectSchema,
  ewma: chartEffectSchema,
  patternFalseCallsPer100Passes: z.number(),
  /** Of the recorded passes where there are enough, else of the example in docs/drift.md. */
  assumed: z.strictObject({
    windowsPerPass: z.number(),
    windowMm: z.number(),
    channels: z.number(),
    passes: z.int().nonnegative(),
  }),
});
export type ComputedEffect = z.infer<typeof computedEffectSchema>;

const callCountsSchema = z.strictObject({
  outOfRange: z.int().nonnegative(),
  drifting: z.int().nonnegative(),
  projected: z.int().nonnegative(),
  pattern: z.int().nonnegative(),
});
export type CallCounts = z.infer<typeof callCountsSchema>;

/** Of closed passes of one origin: what inspectors found the calls to be. */
export const measuredTrustSchema = z.strictObject({
  origin: originSchema,
  passes: z.int().nonnegative(),
  calls: z.int().nonnegative(),
  real: z.int().nonnegative(),
  notReal: z.int().nonnegative(),
  unknown: z.int().nonnegative(),
  unmarked: z.int().nonnegative(),
  /** Calls marked not real per 100 passes; null before the first pass or while nothing is marked. */
  falseCallsPer100Passes: measuredSchema,
  /** 95 % interval of it (Poisson, exact); null where the rate is. */
  interval: z.tuple([z.number(), z.number()]).nullable(),
  /** Newest passes that were counted reach back to here. */
  sinceUtc: utcSchema.nullable(),
});
export type MeasuredTrust = z.infer<typeof measuredTrustSchema>;

/** GET /api/v1/watch */
export const watchStateSchema = z.strictObject({
  settings: driftSettingsSchema,
  /** Who chose them; null: as shipped. */
  changed: z
    .strictObject({ entryId: z.string(), at: utcSchema, author: z.string(), reason: z.string().nullable() })
    .nullable(),
  asShipped: driftSettingsSchema,
  computed: computedEffectSchema,
  measured: z.array(measuredTrustSchema),
});
export type WatchState = z.infer<typeof watchStateSchema>;

/** POST /api/v1/watch/trial: settings tried on recorded passes; nothing is changed. */
export const trialRequestSchema = z.strictObject({ settings: driftSettingsSchema });
export const trialSchema = z.strictObject({
  settings: driftSettingsSchema,
  computed: computedEffectSchema,
  /** The last closed passes that can be judged again, newest first, at most 20. */
  passes: z.array(
    z.strictObject({
      passId: z.string(),
      origin: originSchema,
      site: topicIdSchema,
      rig: topicIdSchema,
      joint: labelSchema.nullable(),
      side: sideSchema.nullable(),
      pass: z.string().nullable(),
      startUtc: utcSchema,
      /** As recorded, and as these settings would have called it. */
      recorded: callCountsSchema,
      tried: callCountsSchema,
    }),
  ),
  /** Why passes were left out, in words. */
  notes: z.array(z.string().max(300)),
});
export type Trial = z.infer<typeof trialSchema>;

/** GET /api/v1/calls?before=&limit= : calls of closed passes, newest pass first, with their newest mark. */
export const callSchema = z.strictObject({
  passId: z.string(),
  of: z.enum(['drift', 'deviation']),
  number: z.int().positive(),
  origin: originSchema,
  site: topicIdSchema,
  rig: topicIdSchema,
  joint: labelSchema.nullable(),
  side: sideSchema.nullable(),
  pass: z.string().nullable(),
  at: utcSchema,
  rule: z.enum(['outOfRange', 'drifting', 'projected', 'pattern', 'trim']),
  quantity: z.string().nullable(),
  text: z.string(),
  fromMm: measuredSchema,
  toMm: measuredSchema,
  mark: z
    .strictObject({
      mark: z.enum(['real', 'notReal', 'unknown']),
      author: z.string(),
      at: utcSchema,
      reason: z.string().nullable(),
    })
    .nullable(),
});
export const callPageSchema = z.strictObject({ calls: z.array(callSchema), next: z.string().nullable() });
export type Call = z.infer<typeof callSchema>;
export type CallPage = z.infer<typeof callPageSchema>;

/** GET /api/v1/over-joints?procedureId=&pass=&origin=&limit= : one pass type over the last joints. */
export const overJointsSchema = z.strictObject({
  procedureId: topicIdSchema,
  pass: z.string(),
  origin: originSchema,
  /** Oldest first; continuation records are left out. Means are of the pass. */
  passes: z.array(
    z.strictObject({
      passId: z.string(),
      site: topicIdSchema,
      rig: topicIdSchema,
      joint: labelSchema,
      side: sideSchema,
      procedureRevision: z.int().positive(),
      startUtc: utcSchema,
      weldingCurrent: measuredSchema,
      arcVoltage: measuredSchema,
      wireFeedSpeed: measuredSchema,
      travelSpeed: measuredSchema,
      arcEnergy: measuredSchema,
      runOutLengthMm: measuredSchema,
      arcTimeS: z.number(),
      deviations: z.int().nonnegative(),
    }),
  ),
  /** One per joint that has both sides of this pass; oldest first. */
  closures: z.array(
    z.strictObject({
      joint: labelSchema,
      atUtc: utcSchema,
      rigs: z.array(z.string()),
      errorMm: measuredSchema,
      /** Share of the circumference. */
      error: measuredSchema,
      uncertainty: measuredSchema,
      finding: z.enum(['closed', 'look', 'suspect']).nullable(),
      /** Why it is not known. */
      reason: z.string().nullable(),
    }),
  ),
});
export type OverJoints = z.infer<typeof overJointsSchema>;

/** GET /api/v1/pass-types : what can be looked at over joints, most used first. */
export const passTypesSchema = z.strictObject({
  types: z.array(
    z.strictObject({
      procedureId: topicIdSchema,
      pass: z.string(),
      origin: originSchema,
      passes: z.int().positive(),
      lastUtc: utcSchema,
    }),
  ),
});
export type PassTypes = z.infer<typeof passTypesSchema>;
