import { z } from 'zod';
import {
  clockSchema,
  labelSchema,
  measuredSchema,
  originSchema,
  recordTimeUsSchema,
  sideSchema,
  utcSchema,
} from './common.ts';
import { driftingSchema } from './drift.ts';

/** The byte source as the edge sees it (docs/serial.md). Only `streaming` carries values worth showing. */
export const sourceStateSchema = z.enum([
  'absent',
  'opening',
  'open',
  'streaming',
  'stalled',
  'closing',
  'ended',
]);
export type SourceState = z.infer<typeof sourceStateSchema>;

/** Out of range now: the 1 s sliding mean has been beyond the limit longer than the on-delay. */
export const outOfRangeSchema = z.strictObject({
  quantity: z.string(),
  unit: z.string(),
  value: z.number(),
  min: measuredSchema,
  max: measuredSchema,
  sinceUs: recordTimeUsSchema,
  sincePositionMm: measuredSchema,
  lengthMm: measuredSchema,
});
export type OutOfRange = z.infer<typeof outOfRangeSchema>;

/** Feed, travel and program look like another pass of the procedure than the assigned one. Not a verdict. */
export const passMismatchSchema = z.strictObject({
  assigned: z.string(),
  /** In the procedure's order; several where they cannot be told apart. */
  likelier: z.array(z.string()).min(1),
  /** Means over the stretch that was compared, travel at the weld. */
  wireFeedMmS: z.number(),
  travelMmS: z.number(),
  program: measuredSchema,
  sinceUs: recordTimeUsSchema,
  /** Weld since travel started when it was first seen, mm. */
  travelledMm: z.number(),
  /** One sentence for a person. */
  text: z.string().max(300),
});
export type PassMismatch = z.infer<typeof passMismatchSchema>;

/** The running pass so far: energies are totals to this moment. */
export const runningPassSchema = z.strictObject({
  index: z.int().positive(),
  startUs: recordTimeUsSchema,
  arcTimeS: z.number(),
  runOutLengthMm: measuredSchema,
  arcEnergyKj: measuredSchema,
  arcEnergyKjMm: measuredSchema,
  heatInputKjMm: measuredSchema,
  energyBasis: z.enum(['instantaneous', 'frameProduct']),
  /** Expanded uncertainty (k = 2) of arcEnergyKjMm. */
  arcEnergyUncertaintyKjMm: measuredSchema,
  restarts: z.int().nonnegative(),
  extinctions: z.int().nonnegative(),
  unobservedS: z.number(),
  standingArcS: measuredSchema,
});
export type RunningPass = z.infer<typeof runningPassSchema>;

/**
 * ≤ 10 Hz, QoS 0, for the eye only: the newest wins, and nothing is computed from it.
 * `values` are 1 s sliding means; null where the channel is missing, unknown or has no data.
 */
export const liveSchema = z.strictObject({
  origin: originSchema,
  at: utcSchema,
  tUs: recordTimeUsSchema,
  source: z.strictObject({
    state: sourceStateSchema,
    /** When it began to stream; of a source that does not, its last sample (before any: this state's beginning). */
    since: utcSchema,
    /** One sentence for a person, such as "/dev/… is gone: trying again in 2 s"; null when all is well. */
    detail: z.string().max(300).nullable(),
  }),
  clock: clockSchema,
  buffer: z.strictObject({
    /** Batches committed here that a required store has not acknowledged. */
    waiting: z.int().nonnegative(),
    /** Everything up to this moment is durable on the edge; null before the first commit. */
    storedTo: utcSchema.nullable(),
    recording: z.enum(['ok', 'lagging', 'failed']),
  }),
  /** noData: nothing arrives, or what arrives is held, so the arc cannot be told. */
  arc: z.enum(['off', 'on', 'noData']),
  assignment: z
    .strictObject({
      id: z.string(),
      joint: labelSchema,
      side: sideSchema,
      pass: z.string(),
      procedureId: z.string(),
      procedureRevision: z.int(),
    })
    .nullable(),
  values: z.strictObject({
    weldingCurrent: measuredSchema,
    arcVoltage: measuredSchema,
    wireFeedSpeed: measuredSchema,
    travelSpeed: measuredSchema,
    power: measuredSchema,
    gasFlow: measuredSchema,
    temperature: measuredSchema,
    oscillationWidth: measuredSchema,
    oscillationFrequency: measuredSchema,
    program: measuredSchema,
  }),
  position: z
    .strictObject({
      /** Along the pipe's outside from 12 o'clock, clockwise looking downstream, 0 ≤ mm < circumference. */
      circumferentialMm: z.number(),
      /** 0 < clock ≤ 12. */
      clock: z.number(),
      /** Travelled by this side from its own start, mm. */
      alongMm: z.number(),
      uncertaintyMm: z.number(),
    })
    .nullable(),
  pass: runningPassSchema.nullable(),
  outOfRange: z.array(outOfRangeSchema),
  /** Absent from edges that do not compare passes. */
  passMismatch: passMismatchSchema.nullable().optional(),
  /** Absent from edges that do not follow changes along the weld. */
  drifting: z.array(driftingSchema).max(12).optional(),
});
export type Live = z.infer<typeof liveSchema>;
