/** Every key of an edge's TOML file, with unit in the name and default; docs/edge.md lists them for people. */
import { z } from 'zod';
import { originSchema, topicIdSchema } from '#core/messages/common';
import { DEFAULT_ENGINE_SETTINGS as ENGINE } from '#core/pass/pass-engine';
import { sourceSettingsSchema } from '../source/source-settings.ts';

const path = z.string().min(1).max(4000);
const positive = z.number().positive();

/** One relative uncertainty: as a standard uncertainty (k = 1), or as limits ±a of which the standard is a ÷ √3. */
const uncertaintySchema = z.strictObject({
  percent: positive.max(100),
  kind: z.enum(['standard', 'limits']),
});
export type UncertaintyEntry = z.infer<typeof uncertaintySchema>;

const rigSchema = z.strictObject({
  site: topicIdSchema,
  rig: topicIdSchema,
  origin: originSchema,
  /** Radius at which travel is reported; "pipe": travel is reported at the weld itself. */
  reference_radius_mm: z.union([positive.max(5000), z.literal('pipe')], {
    error: 'give the radius at which travel is reported, in mm, or "pipe" when it is reported at the weld',
  }),
  position_uncertainty_mm: z.number().nonnegative().max(500).default(ENGINE.positionUncertaintyMm),
  voltage_tap_point: z.string().trim().min(1).max(80).default('not stated'),
  /** Where the feed is measured: it decides what slip looks like. */
  feed_read_at: z.enum(['motor', 'wire']).optional(),
});

const brokerSchema = z.strictObject({
  url: z
    .string()
    .regex(
      /^mqtts?:\/\/[^/@,\s]+(,mqtts?:\/\/[^/@,\s]+)*$/,
      'write mqtt://host:port or mqtts://host:port, several of one cluster with commas between them; a password goes into password_file',
    )
    .default('mqtt://127.0.0.1:1883'),
  username: z.string().min(1).max(200).optional(),
  password_file: path.optional(),
  ca_file: path.optional(),
  cert_file: path.optional(),
  key_file: path.optional(),
});

export const DEFAULT_STORE_PATH = 'girthlog-data/edge.db';

const storeSchema = z.strictObject({
  path: path.default(DEFAULT_STORE_PATH),
  batch_s: z.number().min(0.1).max(2).default(1),
  /** Most that store, log and ballast may take, MB; left out: the file system less the reserve. */
  budget_mb: z.number().min(16).max(10_000_000).optional(),
  /** Left free on the file system, MB; left out: 64 MiB or 5 %, at most a quarter of it. */
  reserve_mb: z.number().min(4).max(10_000_000).optional(),
  /** Stores that must have committed a batch before it is released. */
  required_stores: z.array(topicIdSchema).min(1).max(8).default(['truck']),
});

const blackBoxSchema = z.strictObject({
  enabled: z.boolean().default(true),
  /** Left out: beside the store. */
  folder: path.optional(),
  /** Left out: 64 MB or 2 % of the file system, whichever is less. */
  budget_mb: z.number().min(1).max(1_000_000).optional(),
  max_age_h: positive.max(100_000).default(168),
});

const engineSchema = z.strictObject({
  gap_periods: positive.max(1000).default(ENGINE.gapPeriods),
  gap_min_s: positive.max(60).default(ENGINE.gapMinS),
  held_after_s: z.union([positive.max(60), z.literal(false)]).default(ENGINE.heldAfterS ?? false),
  held_min_rate_hz: positive.max(10_000).default(ENGINE.heldMinRateHz),
  arc_start_a: positive.max(2000).default(ENGINE.arcStartA),
  arc_start_s: z.number().nonnegative().max(10).default(ENGINE.arcStartS),
  arc_stop_a: positive.max(2000).default(ENGINE.arcStopA),
  arc_stop_s: z.number().nonnegative().max(10).default(ENGINE.arcStopS),
  pass_join_s: positive.max(3600).default(ENGINE.passJoinS),
  standing_travel_mm_s: positive.max(100).default(ENGINE.standingTravelMmS),
  window_length_mm: positive.max(1000).default(ENGINE.windowLengthMm),
  live_mean_s: positive.max(10).default(ENGINE.liveMeanS),
  on_delay_s: z.number().nonnegative().max(60).default(ENGINE.onDelayS),
  off_delay_s: z.number().nonnegative().max(60).default(ENGINE.offDelayS),
});

const uncertaintiesSchema = z.strictObject({
  current: uncertaintySchema.optional(),
  voltage: uncertaintySchema.optional(),
  wire_feed: uncertaintySchema.optional(),
  travel: uncertaintySchema.optional(),
});

const logSchema = z.strictObject({
  level: z.enum(['debug', 'info', 'warn', 'error']).default('info'),
});

export const configSchema = z
  .strictObject({
    rig: rigSchema,
    source: sourceSettingsSchema,
    broker: brokerSchema.prefault({}),
    store: storeSchema.prefault({}),
    black_box: blackBoxSchema.prefault({}),
    engine: engineSchema.prefault({}),
    uncertainty: uncertaintiesSchema.prefault({}),
    log: logSchema.prefault({}),
  })
  .superRefine(({ engine, broker }, ctx) => {
    if (engine.arc_stop_a >= engine.arc_start_a) {
      ctx.addIssue({
        code: 'custom',
        path: ['engine', 'arc_stop_a'],
        message: `${engine.arc_stop_a} A is not below arc_start_a, ${engine.arc_start_a} A`,
      });
    }
    if ((broker.cert_file === undefined) !== (broker.key_file === undefined)) {
      ctx.addIssue({ code: 'custom', path: ['broker'], message: 'cert_file and key_file belong together' });
    }
  });
/** The file's own keys, defaults filled in. */
export type ConfigFile = z.infer<typeof configSchema>;
