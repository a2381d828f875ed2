/** HTTP shapes of what people enter and what follows from it. Folds that make them: journal/. */
import { z } from 'zod';
import { entrySchema } from '../journal/entry.ts';
import { jointEntrySchemas } from '../journal/joint-entries.ts';
import { checkSchema } from '../journal/rig-entries.ts';
import { labelSchema, originSchema, sideSchema, topicIdSchema, utcSchema } from './common.ts';

/** GET /api/v1/entries?subject=&kind=&before=&limit= : newest first, one page. Subjects: journal/entry.ts. */
export const entryPageSchema = z.strictObject({ entries: z.array(entrySchema), next: z.string().nullable() });
export type EntryPage = z.infer<typeof entryPageSchema>;

/** Something missing or against the rules, in words, with the one action that mends it. */
export const findingSchema = z.strictObject({
  /** Stable, for programs and tests: `checkMissing`, `passOutOfOrder`, `qualificationExpired`, … */
  code: z.string().min(1).max(60),
  text: z.string().max(300),
  action: z.string().max(200),
  /** Where the action is done: a path of the page, such as /verify/site/rig/travel; null when not on a screen. */
  link: z.string().max(200).nullable(),
});
export type Finding = z.infer<typeof findingSchema>;

/** A place in the work: what a pass is, or was recorded as. */
export const passWorkSchema = z.strictObject({
  joint: labelSchema.nullable(),
  side: sideSchema.nullable(),
  pass: z.string().nullable(),
});
export type PassWork = z.infer<typeof passWorkSchema>;

/** A recorded pass that an entry has moved: the sealed record still says `from`. */
export const movedPassSchema = z.strictObject({
  passId: z.string(),
  entryId: z.string(),
  author: z.string(),
  at: utcSchema,
  reason: z.string().nullable(),
  from: passWorkSchema,
  to: passWorkSchema,
});
export type MovedPass = z.infer<typeof movedPassSchema>;

/** What one pass of one side has: seen by a rig, logged elsewhere, or nothing yet. */
export const passStandingSchema = z.strictObject({
  pass: z.string(),
  side: sideSchema,
  state: z.enum(['none', 'open', 'closed', 'loggedElsewhere']),
  /** Ids of the recorded passes, continuations and moved ones included. */
  passIds: z.array(z.string()),
  released: z.boolean().nullable(),
  /** Of `passIds` those that an entry has moved here. */
  movedIn: z.array(movedPassSchema),
  /** First arc and last, as recorded or as entered; null where nothing is known. */
  startUtc: utcSchema.nullable(),
  endUtc: utcSchema.nullable(),
});
export type PassStanding = z.infer<typeof passStandingSchema>;

export const procedureStateSchema = z.enum(['draft', 'approved', 'withdrawn', 'unknown']);
export type ProcedureState = z.infer<typeof procedureStateSchema>;

const { kind: _kind, joint: _joint, ...particulars } = jointEntrySchemas.jointOpened.shape;

/** GET /api/v1/joints/{joint}/state */
export const jointStateSchema = z.strictObject({
  joint: labelSchema,
  origin: originSchema,
  opened: z.boolean(),
  onHold: z.strictObject({ reason: z.string(), author: z.string(), at: utcSchema }).nullable(),
  /** The latest that stands; null until a named person has ruled, which is never proposed. */
  disposition: z
    .strictObject({
      decision: jointEntrySchemas.disposition.shape.decision,
      reason: z.string(),
      author: z.string(),
      at: utcSchema,
      entryId: z.string(),
    })
    .nullable(),
  particulars: z.strictObject(particulars),
  wireLot: z.string().nullable(),
  gasLot: z.string().nullable(),
  polarity: z.enum(['electrodePositive', 'electrodeNegative']).nullable(),
  crew: z
    .strictObject({
      weldSetter: z.string().nullable(),
      operatorA: z.string().nullable(),
      operatorB: z.string().nullable(),
    })
    .nullable(),
  /** The revision its work is judged by: of the particulars, else as assigned, else as last recorded. */
  procedure: z
    .strictObject({ id: topicIdSchema, revision: z.int().positive(), state: procedureStateSchema })
    .nullable(),
  passes: z.array(passStandingSchema),
  /** Recorded under this joint, now counted elsewhere. */
  movedOut: z.array(movedPassSchema),
  /** Every pass of the procedure is there on both sides; null where the procedure is not known. */
  complete: z.boolean().nullable(),
  /** The next pass by the procedure and what is done; null when all are done or nothing is known. */
  nextPass: z.string().nullable(),
  findings: z.array(findingSchema),
  entries: z.array(entrySchema),
});
export type JointState = z.infer<typeof jointStateSchema>;

/** GET /api/v1/joint-list: every joint that was opened, assigned, recorded or moved to; newest first. */
export const jointSummarySchema = z.strictObject({
  joint: labelSchema,
  origin: originSchema,
  opened: z.boolean(),
  onHold: z.boolean(),
  station: z.string().nullable(),
  /** Recorded passes that count for it, and how many of them were welded under a ruling to repair. */
  passes: z.int().nonnegative(),
  repairs: z.int().nonnegative(),
  /** The newest word or work. */
  lastUtc: utcSchema.nullable(),
  /** First and last arc of what counts for it; null where nothing does. */
  firstArcUtc: utcSchema.nullable(),
  lastArcUtc: utcSchema.nullable(),
  /** "site/rig" of every rig that welded it. */
  rigs: z.array(z.string()),
  procedure: z.strictObject({ id: topicIdSchema, revision: z.int().positive() }).nullable(),
  /** As recorded; null where no pass is. */
  deviations: z.int().nonnegative().nullable(),
  disposition: jointEntrySchemas.disposition.shape.decision.nullable(),
  /** Passes of the procedure that are done, one a side, of how many. */
  done: z.int().nonnegative(),
  wanted: z.int().nonnegative(),
  /** Null where the procedure is not known. */
  complete: z.boolean().nullable(),
  nextPass: z.string().nullable(),
  /** What is not there in its record, in words; the first of them. */
  missing: z.array(z.string()),
  /** How many things in its record are missing or against the rules. */
  findings: z.int().nonnegative(),
});
export const jointSummaryListSchema = z.strictObject({
  joints: z.array(jointSummarySchema),
  next: z.string().nullable(),
  /** Joints that something came of and that are not looked through yet: ask again. */
  unread: z.int().nonnegative(),
});
export type JointSummaryList = z.infer<typeof jointSummaryListSchema>;
export type JointSummary = z.infer<typeof jointSummarySchema>;

/** One check of a rig as it stands now. */
export const checkStandingSchema = z.strictObject({
  check: z.enum(['travel', 'wireFeed', 'arcVoltage', 'weldingCurrent', 'gasFlow', 'temperature', 'clock']),
  state: z.enum(['valid', 'missing', 'failed', 'notShown', 'expired']),
  last: z.strictObject({ at: utcSchema, author: z.string(), outcome: checkSchema }).nullable(),
  /** When it falls due, and why sooner than its interval, if so. */
  dueAt: utcSchema.nullable(),
  why: z.string().nullable(),
});

export type CheckStanding = z.infer<typeof checkStandingSchema>;

/** GET /api/v1/readiness, and /api/v1/rigs/{site}/{rig}/readiness for one. Nobody is locked out by it. */
export const rigReadinessSchema = z.strictObject({
  site: topicIdSchema,
  rig: topicIdSchema,
  ready: z.boolean(),
  checks: z.array(checkStandingSchema),
  corrections: z.array(
    z.strictObject({
      channel: z.enum(['travelSpeed', 'wireFeedSpeed']),
      factor: z.number(),
      /** The factor it replaced. */
      previous: z.number().optional(),
      from: utcSchema,
      author: z.string(),
    }),
  ),
  carriageId: z.string().nullable(),
  /** Edge minus dashboard, as the edge last reported it; null where it did not. */
  clockOffsetMs: z.number().nullable().optional(),
  findings: z.array(findingSchema),
});
export type RigReadiness = z.infer<typeof rigReadinessSchema>;

/** GET /api/v1/readiness */
export const readinessListSchema = z.strictObject({
  serverUtc: utcSchema,
  readiness: z.array(rigReadinessSchema),
});

/** GET /api/v1/proposals/{site}/{rig}: what this rig may weld next, to be confirmed by a person. */
export const proposalSchema = z.strictObject({
  joint: labelSchema.nullable(),
  side: sideSchema.nullable(),
  pass: z.string().nullable(),
  procedureId: z.string().nullable(),
  procedureRevision: z.int().nullable(),
  /** Why this one, in one sentence. */
  why: z.string(),
  /** What to know before confirming: order, qualifications, lots, readings, hold. */
  findings: z.array(findingSchema),
});
export type Proposal = z.infer<typeof proposalSchema>;

/** GET /api/v1/edge-run/{site}/{rig}?channel=travelSpeed : the newest run the edge saw without an arc. */
export const edgeRunSchema = z.strictObject({
  startUtc: utcSchema,
  endUtc: utcSchema,
  runS: z.number(),
  meanMmPerS: z.number(),
});
export type EdgeRun = z.infer<typeof edgeRunSchema>;
