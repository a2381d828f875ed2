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

/** Offsets in a data frame's content; with FLAG_OWN_INTERVALS the samples begin 4 bytes later. */
export const DATA = { tag: 0, counter: 2, tUs: 3, samples: 7, lengthUs: 7 } as const;
export const OWN_INTERVAL_BYTES = 4;

/** Where a data frame has its tag, an announcement has this. */
export const ANNOUNCEMENT_MARK = 0;

/** The tag of an announcement with this checksum. */
export function tagOf(crc: number): number {
  return crc === ANNOUNCEMENT_MARK ? 0xffff : crc;
}

/** Offsets in an announcement's content; a channel is code, width, scale digits, scale exponent, unit. */
export const ANNOUNCEMENT = {
  mark: 0,
  version: 2,
  flags: 3,
  boot: 4,
  samplePeriodUs: 8,
  channelCount: 12,
  channels: 13,
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
/** Data frames carry the interval of their samples; without it an interval is the sample period. */
export const FLAG_OWN_INTERVALS = 0x02;
