/** What people entered about one recorded pass, beside its record: moves, judgements, corrections, readiness. */
import { z } from 'zod';
import { entrySchema } from '../journal/entry.ts';
import { findingSchema, movedPassSchema, passWorkSchema } from './api-journal.ts';
import { measuredSchema, utcSchema } from './common.ts';
import { passDriftSchema } from './drift.ts';
import { deviationSchema, passMessageSchema, verdictSchema } from './pass.ts';

/** One pass held against one procedure pass. The recorded one comes from the record, the others from its samples. */
export const judgementSchema = z.strictObject({
  basis: z.enum(['recorded', 'moved']),
  /** The entry that moved it; null for the recorded one. */
  entryId: z.string().nullable(),
  procedureId: z.string().nullable(),
  procedureRevision: z.int().nullable(),
  pass: z.string().nullable(),
  verdicts: z.array(verdictSchema),
  deviations: z.array(deviationSchema),
  /** Changes along the weld, held against the baselines that the record carries. */
  drift: passDriftSchema.optional(),
  /** When and by which software it was computed; null for the recorded one. */
  at: utcSchema.nullable(),
  software: z.string().nullable(),
  /** Why it is missing or incomplete, one sentence each. */
  notes: z.array(z.string()),
});
export type Judgement = z.infer<typeof judgementSchema>;

/** A derived value as recorded, and as it is with the correction factors in force when the pass began. */
export const correctedValueSchema = z.strictObject({
  field: z.enum([
    'meanTravelMmS',
    'runOutLengthMm',
    'arcEnergyKjMm',
    'heatInputKjMm',
    'meanWireFeedMmS',
    'wireUsedM',
    'wireUsedKg',
  ]),
  recorded: measuredSchema,
  corrected: measuredSchema,
});

/** Dates by the clock of the edge once it was set, for a pass recorded before; the record keeps its own. */
export const redatedPassSchema = z.strictObject({
  startUtc: utcSchema,
  endUtc: utcSchema,
  knownSinceUtc: utcSchema,
});
export type RedatedPass = z.infer<typeof redatedPassSchema>;

/** GET /api/v1/passes/{passId}/journal */
export const passJournalSchema = z.strictObject({
  /** The sealed record, as it came. */
  pass: passMessageSchema,
  /** Null where the clock was set, or nothing tells the time yet. */
  redated: redatedPassSchema.nullable(),
  /** What it counts as now. */
  work: passWorkSchema,
  moves: z.array(movedPassSchema),
  judgements: z.array(judgementSchema),
  corrections: z.array(
    z.strictObject({
      channel: z.enum(['travelSpeed', 'wireFeedSpeed']),
      factor: z.number(),
      from: utcSchema,
      author: z.string(),
      entryId: z.string(),
    }),
  ),
  corrected: z.array(correctedValueSchema),
  /** Why a factor was not applied, one sentence each. */
  correctionNotes: z.array(z.string()),
  /** Whether the rig was ready when the pass began, by what had been entered until then. */
  readiness: z.strictObject({ ready: z.boolean(), findings: z.array(findingSchema) }),
  entries: z.array(entrySchema),
});
export type PassJournal = z.infer<typeof passJournalSchema>;

/** GET /api/v1/unassigned-passes : recorded with no work assigned and not moved to any since; newest first. */
export const unassignedPassesSchema = z.strictObject({ passes: z.array(passMessageSchema) });
