import { z } from 'zod';
import { signedSealSchema } from '../record/seal.ts';
import { CHANNEL_NAMES, type Channel } from '../sample/channels.ts';
import {
  clockSchema,
  originSchema,
  recordTimeUsSchema,
  sha256HexSchema,
  streamIdSchema,
  topicIdSchema,
  utcSchema,
} from './common.ts';
import { eventSchema } from './event.ts';
import { passMessageSchema } from './pass.ts';

/** A chunk of samples as bytes (sample/codec.ts), base64. */
export const encodedChunkSchema = z.strictObject({
  n: z.int().positive(),
  firstUs: recordTimeUsSchema,
  lastUs: recordTimeUsSchema,
  channels: z.array(z.enum(CHANNEL_NAMES as [Channel, ...Channel[]])),
  data: z.base64(),
});
export type EncodedChunkMessage = z.infer<typeof encodedChunkSchema>;

/** What one batch holds; its JSON text, byte for byte, is what is hashed, stored and forwarded. */
export const recordBodySchema = z.strictObject({
  schema: z.literal('girthlog.record/1'),
  origin: originSchema,
  site: topicIdSchema,
  rig: topicIdSchema,
  at: utcSchema,
  clock: clockSchema,
  /** utc = record time + this, ms: how record time reads on the wall clock as known at this batch. */
  utcMinusRecordMs: z.number(),
  samples: encodedChunkSchema.nullable(),
  events: z.array(eventSchema),
  passes: z.array(passMessageSchema),
  /** Seals of earlier batches (record/seal.ts); their content is checked apart, so that a bad one hides no sample. */
  seals: z.array(signedSealSchema).optional(),
});
export type RecordBody = z.infer<typeof recordBodySchema>;

/**
 * The durable lane. Key (device = site/rig, stream, seq); the same key with another hash is an alarm.
 * hash = SHA-256 of recordHashInput (record/chain.ts); `prev` is the hash of seq − 1, zeros for seq 1.
 */
export const recordSchema = z.strictObject({
  origin: originSchema,
  stream: streamIdSchema,
  seq: z.int().positive(),
  prev: sha256HexSchema,
  hash: sha256HexSchema,
  /** True when sent from the backlog rather than as it happens. */
  historical: z.boolean(),
  body: z.string().max(60_000),
});
export type RecordMessage = z.infer<typeof recordSchema>;
