/** Entries about a rig: checks, corrections, and what was done to it. SI units in the names. */
import { z } from 'zod';
import { topicIdSchema, utcSchema } from '../messages/common.ts';

const rig = { site: topicIdSchema, rig: topicIdSchema };
const word = z.string().trim().min(1).max(60);
const result = z.enum(['pass', 'fail', 'notShown']);

/** How long a check is good for, and what ends it sooner. */
const validity = { validUntil: utcSchema.nullable() };

/** One timed run: a distance or a length of wire, measured beside a stopwatch. */
const timedRun = {
  runS: z.number().positive().max(3600),
  measuredMm: z.number().positive().max(100_000),
  /** Limits ±, as stated by the person. */
  tapeUncertaintyMm: z.number().nonnegative().max(100),
  stopwatchUncertaintyS: z.number().nonnegative().max(10),
  /** What the rig showed, and the edge's own value where it saw the run, mm/s. */
  shownMmPerS: z.number().positive().max(1000),
  edgeMmPerS: z.number().positive().max(1000).nullable(),
  measuredMmPerS: z.number().positive().max(1000),
  /** Correction of the channel in force: the error is that of shown × factor. Absent where there was none. */
  correctionFactor: z.number().min(0.5).max(2).optional(),
};

/** What every check says of its outcome. Error: (shown − measured)/measured, %; uncertainty at k = 2. */
const outcome = {
  errorPercent: z.number(),
  expandedUncertaintyPercent: z.number().nonnegative(),
  limitPercent: z.number().positive().max(100),
  result,
  /** As found before adjusting, or as left after. */
  state: z.enum(['asFound', 'asLeft']),
};

export const checkSchema = z.discriminatedUnion('check', [
  z.strictObject({
    check: z.literal('travel'),
    /** Where the tape lay: travel at the pipe or at the band. */
    tapeOn: z.enum(['pipe', 'band']),
    /** Where the tape lay and what the rig's travel refers to: measured = distance/time × reference/tape. */
    tapeRadiusMm: z.number().positive().max(3000).optional(),
    referenceRadiusMm: z.number().positive().max(3000).optional(),
    ...timedRun,
    ...outcome,
  }),
  z.strictObject({ check: z.literal('wireFeed'), ...timedRun, ...outcome }),
  z.strictObject({
    check: z.enum(['arcVoltage', 'weldingCurrent', 'gasFlow', 'temperature']),
    shown: z.number(),
    reference: z.number(),
    unit: z.string().min(1).max(20),
    referenceSerial: word,
    referenceDue: utcSchema,
    /** Limits ± of the reference and of reading the shown value, in `unit`. */
    referenceUncertainty: z.number().nonnegative(),
    readingUncertainty: z.number().nonnegative().optional(),
    ...outcome,
  }),
  z.strictObject({
    check: z.literal('clock'),
    offsetMs: z.number(),
    limitMs: z.number().positive(),
    /** Expanded, k = 2. */
    uncertaintyMs: z.number().nonnegative().optional(),
    result,
    state: z.enum(['asFound', 'asLeft']),
  }),
]);
export type Check = z.infer<typeof checkSchema>;
export type CheckName = Check['check'];

/** What happens at a rig that the sensors cannot tell. */
export const RIG_EVENTS = [
  'tipChange',
  'spoolChange',
  'gasBottleChange',
  'setPointChange',
  'repair',
  'wheelChange',
  'bandChange',
  'stop',
] as const;
export type RigEventName = (typeof RIG_EVENTS)[number];

export const rigEntrySchemas = {
  verification: z.strictObject({
    kind: z.literal('verification'),
    ...rig,
    ...validity,
    outcome: checkSchema,
  }),
  /** Applied to the channel from `from` on; `previous` is what it replaces. */
  correction: z.strictObject({
    kind: z.literal('correction'),
    ...rig,
    channel: z.enum(['travelSpeed', 'wireFeedSpeed']),
    factor: z.number().min(0.5).max(2),
    previous: z.number().min(0.5).max(2),
    from: utcSchema,
  }),
  rigEvent: z.strictObject({
    kind: z.literal('rigEvent'),
    ...rig,
    event: z.enum(RIG_EVENTS),
    happenedAt: utcSchema,
    lot: word.optional(),
    /** Of a new spool: the wire on it as it was put on, kg. */
    wireKg: z.number().positive().max(1000).optional(),
    note: z.string().trim().max(300).optional(),
  }),
  /** Torches of one carriage share its id; one rig is one torch. */
  carriage: z.strictObject({ kind: z.literal('carriage'), ...rig, carriageId: topicIdSchema }),
} as const;
