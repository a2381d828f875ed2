/** HTTP shapes of exports: what the files hold, and the jobs that make large ones. */
import { z } from 'zod';
import { isZone } from '../csv/local-time.ts';
import { procedureSchema } from '../procedure/procedure.ts';
import { UNIT_SYSTEMS } from '../units/shown-units.ts';
import { jointReviewSchema } from './api-review.ts';
import {
  labelSchema,
  measuredSchema,
  originSchema,
  recordTimeUsSchema,
  sha256HexSchema,
  sideSchema,
  streamIdSchema,
  utcSchema,
} from './common.ts';

/** joint.json of an export, and GET /api/v1/joints/{joint}/export.json */
export const jointExportSchema = z.strictObject({
  schema: z.literal('girthlog.joint-export/1'),
  software: z.string(),
  /** The newest moment that anything in it was recorded or entered. */
  at: utcSchema,
  zone: z.string(),
  review: jointReviewSchema,
  procedures: z.array(procedureSchema),
  /** Names of the people that entries call by id. */
  people: z.array(z.strictObject({ id: z.string(), name: z.string() })),
});
export type JointExport = z.infer<typeof jointExportSchema>;

/** manifest.json: every other file of one joint's export. */
export const exportManifestSchema = z.strictObject({
  schema: z.literal('girthlog.export-manifest/1'),
  software: z.string(),
  joint: labelSchema,
  origin: originSchema,
  at: utcSchema,
  zone: z.string(),
  files: z.array(z.strictObject({ name: z.string(), bytes: z.int().nonnegative(), sha256: sha256HexSchema })),
});
export type ExportManifest = z.infer<typeof exportManifestSchema>;

/** joints.json of an export of several: each joint's folder, and the SHA-256 of the manifest in it. */
export const exportSetSchema = z.strictObject({
  schema: z.literal('girthlog.export-set/1'),
  software: z.string(),
  /** The day asked for; null where joints were named. */
  date: z.string().nullable(),
  zone: z.string(),
  joints: z.array(
    z.strictObject({
      joint: labelSchema,
      origin: originSchema,
      folder: z.string(),
      at: utcSchema,
      manifestSha256: sha256HexSchema,
    }),
  ),
});
export type ExportSet = z.infer<typeof exportSetSchema>;

/** GET /api/v1/passes/{passId}/samples.json */
export const passSamplesExportSchema = z.strictObject({
  schema: z.literal('girthlog.pass-samples/1'),
  software: z.string(),
  origin: originSchema,
  joint: labelSchema.nullable(),
  side: sideSchema.nullable(),
  pass: z.string().nullable(),
  passId: z.string(),
  site: z.string(),
  rig: z.string(),
  stream: streamIdSchema,
  /** Record time of t_s = 0, µs. */
  startUs: recordTimeUsSchema,
  zone: z.string(),
  /** Radius that travel is reported at, mm. */
  referenceRadiusMm: measuredSchema,
  columns: z.array(z.strictObject({ name: z.string(), unit: z.string().nullable() })),
  /** One row a sample, in the order of the columns; null is not known. */
  rows: z.array(z.array(z.union([z.string(), z.number(), z.null()]))),
});

export const paperSchema = z.enum(['a4', 'letter']);
/** IANA zone of local times in files. */
export const zoneSchema = z
  .string()
  .max(64)
  .refine(isZone, 'use an IANA time zone such as Europe/Berlin, or UTC')
  .default('UTC');
/** Language, units and decimal sign of reports; tables and data stay in SI units. */
const language = z.enum(['en', 'es']).default('en');
const units = z.enum(UNIT_SYSTEMS).default('metric');
const decimal = z.enum(['point', 'comma']).default('point');
export const paperMannerQuery = { lang: language, units, decimal };
export const paperMannerSchema = z.strictObject({ language, units, decimal });
/** Of a table: with `comma` its numbers have a decimal comma and its cells are parted by semicolons. */
export const csvStyleQuery = { decimal };
const dateSchema = z.iso.date();
const joints = z.array(labelSchema).min(1).max(500);

/** POST /api/v1/exports: the joints welded on a day, or those named. */
export const newExportSchema = z
  .strictObject({
    date: dateSchema.optional(),
    joints: joints.optional(),
    /** Of the day, and of the local times in the files. */
    zone: zoneSchema,
    origin: originSchema.optional(),
    papers: z.array(paperSchema).max(2).default(['a4']),
    lang: language,
    units,
    decimal,
  })
  .refine(({ date, joints: named }) => (date === undefined) !== (named === undefined), {
    error: 'give either a date or joints',
  });
export type NewExport = z.infer<typeof newExportSchema>;

export const EXPORT_STATES = ['running', 'done', 'failed', 'cancelled'] as const;
/** One export that is being made, or was. */
export const exportJobSchema = z.strictObject({
  id: z.string(),
  state: z.enum(EXPORT_STATES),
  /** The day asked for; null where joints were named. */
  date: dateSchema.nullable(),
  zone: z.string(),
  origin: originSchema,
  startedAt: utcSchema,
  endedAt: utcSchema.nullable(),
  /** Joints that are in it already, and how many there are. */
  done: z.int().nonnegative(),
  total: z.int().nonnegative(),
  bytes: z.int().nonnegative(),
  /** What the file is called. */
  file: z.string(),
  /** Why it failed, one sentence. */
  problem: z.string().nullable(),
  /** Its file is let go then; null while it is made, and where there is none. */
  keptUntil: utcSchema.nullable(),
});
export type ExportJob = z.infer<typeof exportJobSchema>;

/** GET /api/v1/exports: newest first. */
export const exportListSchema = z.strictObject({ exports: z.array(exportJobSchema) });
