/**
 * Bytes of the binary form (docs/serial.md). A frame on the wire is
 *
 *   COBS(content) · checksum (3 bytes) · 0x00
 *
 * Integers in the content are little-endian. The checksum is the CRC-16 of the COBS bytes as they are on the
 * wire, so that a flipped bit is one flipped bit to it, wherever it falls; it is written without zero bytes as
 * 0x80 | crc >> 14, 0x80 | (crc >> 7 & 0x7F), 0x80 | (crc & 0x7F).
 * A content has at most 251 bytes: then COBS never needs its run-length code 0xFF, and can be undone in place.
 */
export const CHECKSUM_BYTES = 3;
export const MAX_CONTENT = 251;
/** COBS bytes and checksum, without the delimiter. */
export const MAX_BODY = MAX_CONTENT + 1 + CHECKSUM_BYTES;

export const TYPE_ANNOUNCEMENT = 0x41;
export const TYPE_DATA = 0x44;

/** Offsets in a data frame's content. */
export const DATA = { type: 0, tag: 1, counter: 3, tUs: 5, lengthUs: 9, count: 13, samples: 14 } as const;

/** Offsets in an announcement's content; a channel is code, width, scale digits, scale exponent, unit. */
export const ANNOUNCEMENT = {
  type: 0,
  version: 1,
  flags: 2,
  boot: 3,
  samplePeriodUs: 7,
  channelCount: 11,
  channels: 12,
} as const;

/** Offsets in one announced channel. */
export const CHANNEL = {
  code: 0,
  width: 1,
  scaleDigits: 2,
  scaleExponent: 4,
  unitLength: 5,
  unit: 6,
} as const;

export const FLAG_SIMULATED = 0x01;
