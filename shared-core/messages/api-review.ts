/** HTTP shapes of a joint under review: everything welded, by place, and what NDT and people said of it. */
import { z } from 'zod';
import { scanFrameSchema } from '../indication/indication.ts';
import { entrySchema } from '../journal/entry.ts';
import { jointStateSchema, movedPassSchema, procedureStateSchema } from './api-journal.ts';
import { correctedValueSchema, judgementSchema } from './api-pass-journal.ts';
import { clockSchema, labelSchema, measuredSchema, originSchema, sideSchema, utcSchema } from './common.ts';
import { EVENT_TYPES } from './event.ts';
import { passMessageSchema } from './pass.ts';

/** Quantities of a window, in this order in every row. */
export const WINDOW_QUANTITIES = [
  'weldingCurrent',
  'arcVoltage',
  'wireFeedSpeed',
  'travelSpeed',
  'arcEnergy',
  'heatInput',
  'gasFlow',
] as const;
export type WindowQuantity = (typeof WINDOW_QUANTITIES)[number];

/** One window of weld of about 25 mm, as the engine cut it. Places along the side; seconds from the pass's start. */
export const reviewWindowSchema = z.strictObject({
  fromMm: measuredSchema,
  toMm: measuredSchema,
  fromS: z.number(),
  toS: z.number(),
  fromClock: measuredSchema,
  toClock: measuredSchema,
  values: z.record(z.enum(WINDOW_QUANTITIES), measuredSchema),
  /** Quantities whose window limit this window is out of. */
  out: z.array(z.string()),
});
export type ReviewWindow = z.infer<typeof reviewWindowSchema>;

export const reviewPassSchema = z.strictObject({
  message: passMessageSchema,
  /** What it counts as now: its record, or the move that stands. */
  work: z.strictObject({
    joint: labelSchema.nullable(),
    side: sideSchema.nullable(),
    pass: z.string().nullable(),
  }),
  move: movedPassSchema.nullable(),
  /** Recorded first; those of moves after it. The last is what counts now. */
  judgements: z.array(judgementSchema),
  corrected: z.array(correctedValueSchema),
  /** The disposition that ruled the repair it was welded under; null for a pass of the joint as first welded. */
  repairOf: z.string().nullable(),
  /** Place in the procedure's order, from 0; null where the procedure does not have it. */
  layer: z.int().nonnegative().nullable(),
  /** Degrees clockwise from the top where its side starts; null where no side is known. */
  startDegrees: measuredSchema,
  windows: z.array(reviewWindowSchema),
  /** Why there are no windows, or not all; null when there are. */
  windowsNote: z.string().nullable(),
  /** From the outside of the pipe, by what was deposited before it; null where that is not known. */
  depth: z.strictObject({ topMm: z.number(), bottomMm: z.number() }).nullable(),
  events: z.array(
    z.strictObject({
      id: z.string(),
      type: z.enum(EVENT_TYPES),
      atUtc: utcSchema,
      tS: z.number(),
      alongMm: measuredSchema,
      text: z.string(),
    }),
  ),
  quality: z.strictObject({
    samples: z.int().nonnegative(),
    gaps: z.array(z.strictObject({ fromS: z.number(), toS: z.number() })),
    unobservedS: z.number(),
    missingChannels: z.array(z.string()),
    voltageTapPoint: z.string().nullable(),
    referenceRadiusMm: measuredSchema,
    clock: clockSchema,
    /** The samples were thinned by retention: windows cannot be made again. */
    pruned: z.boolean(),
  }),
});
export type ReviewPass = z.infer<typeof reviewPassSchema>;

/** Where an indication lies, what was welded under it, and what was found about it. */
export const reviewIndicationSchema = z.strictObject({
  scanEntryId: z.string(),
  reference: z.string(),
  technique: z.string(),
  takenAt: utcSchema,
  frame: scanFrameSchema,
  label: z.string(),
  type: z.string(),
  position: z.number(),
  unit: z.string(),
  lengthMm: z.number(),
  depthMm: measuredSchema,
  heightMm: measuredSchema,
  /** Null where the outside diameter is not known. */
  place: z
    .strictObject({
      fromDegrees: z.number(),
      spanDegrees: z.number(),
      toDegrees: z.number(),
      fromClock: z.number(),
      toClock: z.number(),
      fromMm: z.number(),
      toMm: z.number(),
      uncertaintyMm: z.number(),
    })
    .nullable(),
  /** Passes it reaches: around the pipe, and where depths are known at its depth. */
  covered: z.array(
    z.strictObject({
      passId: z.string(),
      /** Indices into the pass's windows. */
      windows: z.array(z.int().nonnegative()),
      /** Indices into the pass's stops, and ids of its events. */
      stops: z.array(z.int().nonnegative()),
      events: z.array(z.string()),
      /** Start or end of the pass lies there. */
      startsHere: z.boolean(),
      endsHere: z.boolean(),
      /** False: around the pipe, but not at its depth. */
      atDepth: z.boolean(),
    }),
  ),
  findings: z.array(entrySchema),
});
export type ReviewIndication = z.infer<typeof reviewIndicationSchema>;

/** GET /api/v1/joints/{joint}/review */
export const jointReviewSchema = z.strictObject({
  schema: z.literal('girthlog.joint-review/1'),
  joint: labelSchema,
  origin: originSchema,
  /** As it stands: particulars, lots, crew, passes by side, what is missing, entries. */
  state: jointStateSchema,
  procedure: z
    .strictObject({
      id: z.string(),
      revision: z.int(),
      title: z.string(),
      exampleOnly: z.boolean(),
      state: procedureStateSchema,
      code: z.string().nullable(),
      passes: z.array(z.string()),
    })
    .nullable(),
  outsideDiameterMm: measuredSchema,
  wallThicknessMm: measuredSchema,
  /** In the order welded. */
  passes: z.array(reviewPassSchema),
  indications: z.array(reviewIndicationSchema),
  /** Scans that report no indication, and findings and notes about no indication. */
  scans: z.array(entrySchema),
  findings: z.array(entrySchema),
  annotations: z.array(entrySchema),
  dispositions: z.array(entrySchema),
  /** Verifications of the rigs that welded it, as they stood when each first began here. */
  verifications: z.array(
    z.strictObject({
      site: z.string(),
      rig: z.string(),
      atUtc: utcSchema,
      ready: z.boolean(),
      findings: z.array(z.string()),
    }),
  ),
  /** The newest moment that anything in it was recorded or entered: a report of it carries this time. */
  sealedAt: utcSchema.nullable(),
});
export type JointReview = z.infer<typeof jointReviewSchema>;
