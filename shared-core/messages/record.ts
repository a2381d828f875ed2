import { z } from 'zod';
import { signedSealSchema } from '../record/seal.ts';
import { CHANNEL_NAMES, type Channel } from '../sample/channels.ts';
import { clockMapRowSchema } from './clock-map.ts';
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

const channelSchema = z.enum(CHANNEL_NAMES as [Channel, ...Channel[]]);

/** A chunk of samples as bytes (sample/codec.ts), base64. */
export const encodedChunkSchema = z.strictObject({
  n: z.int().positive(),
  firstUs: recordTimeUsSchema,
  lastUs: recordTimeUsSchema,
  channels: z.array(channelSchema),
  data: z.base64(),
});
export type EncodedChunkMessage = z.infer<typeof encodedChunkSchema>;

/** Stands in a batch whose samples gave way when the edge's disk was full: `samples` then holds means of ≤ 1 s. */
export const reducedSamplesSchema = z.strictObject({
  /** How many samples there were, and the last of them. */
  n: z.int().positive(),
  lastUs: recordTimeUsSchema,
  /** Least and greatest of each mean's interval, in their order; null where nothing was known. Empty: not kept. */
  extremes: z.partialRecord(channelSchema, z.array(z.tuple([z.number(), z.number()]).nullable())),
});

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
  /** How record time reads on the wall clock, in rows now and then. */
  clockMap: z.array(clockMapRowSchema).optional(),
  /** Seals of earlier batches (record/seal.ts); their content is checked apart, so that a bad one hides no sample. */
  seals: z.array(signedSealSchema).optional(),
  /** Only in a batch that was reduced; never part of what was hashed first. */
  reduced: reducedSamplesSchema.optional(),
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
  /**
   * The edge had to make room: `hash` is still that of the whole batch, `body` is what is left of it, possibly
   * nothing. `thinned`: means, least and greatest of ≤ 1 s. `pruned`: no samples, every required store had them.
   * `bodyHash` = SHA-256 of reducedHashInput (record/chain.ts).
   */
  reduced: z.strictObject({ to: z.enum(['thinned', 'pruned']), bodyHash: sha256HexSchema }).optional(),
});
export type Reduction = NonNullable<z.infer<typeof recordSchema>['reduced']>;
export type RecordMessage = z.infer<typeof recordSchema>;
