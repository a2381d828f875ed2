import { z } from 'zod';
import { publicKeySchema } from '../record/seal.ts';
import { CHANNEL_NAMES, type Channel } from '../sample/channels.ts';
import { originSchema, sha256HexSchema, streamIdSchema, topicIdSchema, utcSchema } from './common.ts';

const channelSchema = z.enum(CHANNEL_NAMES as [Channel, ...Channel[]]);

/** Retained: what this rig's stream is made of. */
export const infoSchema = z.strictObject({
  origin: originSchema,
  at: utcSchema,
  site: topicIdSchema,
  rig: topicIdSchema,
  stream: streamIdSchema,
  software: z.string().max(40),
  /** How bytes become samples: text, binary, delimited or modbus; the source URL without secrets. */
  source: z.strictObject({ url: z.string().max(200), format: z.string().max(20) }),
  samplePeriodS: z.number().positive().nullable(),
  channels: z.array(
    z.strictObject({ channel: channelSchema, unit: z.string().max(20), resolution: z.number().positive() }),
  ),
  /** Radius the reported travel is measured at, mm; printed on every page that shows a position. */
  referenceRadiusMm: z.number().positive().nullable(),
  /** Where voltage is tapped, in the installer's words; printed with every energy. */
  voltageTapPoint: z.string().max(80),
  requiredStores: z.array(topicIdSchema),
  /** The key that signs this stream's seals now: raw Ed25519, and its fingerprint (docs/seals.md). */
  sealKey: z.strictObject({ publicKey: publicKeySchema, keyId: sha256HexSchema }).optional(),
});
export type Info = z.infer<typeof infoSchema>;
