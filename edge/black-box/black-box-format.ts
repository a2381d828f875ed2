/**
 * A black-box file: what a source's link delivered, as it came.
 *
 *   line 1          girthlog.black-box/1
 *   line 2          JSON: stream, origin, source, startedUs (record time), utcMinusRecordMs (as known then)
 *   then frames     0 kind (u8) · 1 zero · 2 CRC-16 of the content (u16) · 4 length (u32) · 8 arrival, record time µs (f64)
 *                   · content; little-endian. 1: bytes · 2: the link was opened anew · 3: bytes left out before (f64)
 *
 * A frame that is cut off or does not carry its CRC ends the file: a power cut leaves such a tail.
 */
import { z } from 'zod';
import { crc16 } from '#core/frame/crc16';
import { originSchema, recordTimeUsSchema, streamIdSchema } from '#core/messages/common';

export const MAGIC = 'girthlog.black-box/1\n';
export const FRAME_HEAD = 16;
/** Far more than a link delivers at once. */
export const MAX_CONTENT = 1024 * 1024;
export const SUFFIX = '.blackbox';

export const KIND = { bytes: 1, opened: 2, leftOut: 3 } as const;

export const blackBoxHeaderSchema = z.strictObject({
  stream: streamIdSchema,
  origin: originSchema,
  source: z.string().max(200),
  startedUs: recordTimeUsSchema,
  utcMinusRecordMs: z.number(),
});
export type BlackBoxHeader = z.infer<typeof blackBoxHeaderSchema>;

export interface BlackBoxFrame {
  readonly kind: number;
  readonly arrivalUs: number;
  readonly content: Uint8Array;
}

export function encodeHeader(header: BlackBoxHeader): Buffer {
  return Buffer.from(`${MAGIC}${JSON.stringify(header)}\n`);
}

export function encodeFrame({ kind, arrivalUs, content }: BlackBoxFrame): Buffer {
  const frame = Buffer.alloc(FRAME_HEAD + content.length);
  frame.writeUInt8(kind, 0);
  frame.writeUInt16LE(crc16(content, 0, content.length), 2);
  frame.writeUInt32LE(content.length, 4);
  frame.writeDoubleLE(arrivalUs, 8);
  frame.set(content, FRAME_HEAD);
  return frame;
}

/** The frame at `offset`; null where `bytes` end too early, undefined where it is none. */
export function decodeFrame(bytes: Buffer, offset: number): BlackBoxFrame | null | undefined {
  if (offset + FRAME_HEAD > bytes.length) return null;
  const kind = bytes.readUInt8(offset);
  const length = bytes.readUInt32LE(offset + 4);
  const arrivalUs = bytes.readDoubleLE(offset + 8);
  if (kind < 1 || kind > 3 || length > MAX_CONTENT || !(arrivalUs >= 0)) return undefined;
  const from = offset + FRAME_HEAD;
  if (from + length > bytes.length) return null;
  const content = bytes.subarray(from, from + length);
  if (crc16(content, 0, length) !== bytes.readUInt16LE(offset + 2)) return undefined;
  return { kind, arrivalUs, content };
}
