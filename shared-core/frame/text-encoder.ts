/**
 * Text frames as a device prints them (docs/serial.md): for the simulator and the tests.
 */
import { crc16 } from './crc16.ts';
import { type DeviceAnnouncement, MAX_FRAME_BYTES } from './device-announcement.ts';
import { printTextAnnouncement } from './text-announcement.ts';

export interface EncodedAnnouncement {
  readonly bytes: Uint8Array;
  /** The announcement's checksum: every data frame repeats it. */
  readonly tag: number;
}

/** Throws RangeError where the announcement does not fit. */
export function encodeTextAnnouncement(device: DeviceAnnouncement): EncodedAnnouncement {
  return finishLine(printTextAnnouncement(device));
}

/**
 * One data line. `raw` are the carried integers in announced order, null for unknown.
 * `counter` counts frames modulo 65536, `tUs` modulo 2^32 is the start of the averaging interval.
 */
export function encodeTextData(
  tag: number,
  counter: number,
  tUs: number,
  lengthUs: number,
  raw: readonly (number | null)[],
): Uint8Array {
  const values = raw.map(value => (value === null ? '' : String(value))).join(',');
  return finishLine(`!D,${hex4(tag)},${counter & 0xffff},${tUs % 2 ** 32},${lengthUs},${values}`).bytes;
}

function finishLine(body: string): EncodedAnnouncement {
  const line = new Uint8Array(body.length + 6);
  for (let i = 0; i < body.length; i++) line[i] = body.charCodeAt(i);
  const tag = crc16(line, 0, body.length);
  const end = `*${hex4(tag)}\n`;
  for (let i = 0; i < end.length; i++) line[body.length + i] = end.charCodeAt(i);
  if (line.length > MAX_FRAME_BYTES) {
    throw new RangeError(`a text frame of ${line.length} bytes: at most ${MAX_FRAME_BYTES}`);
  }
  return { bytes: line, tag };
}

/** Four upper-case hexadecimal digits. */
export function hex4(value: number): string {
  return value.toString(16).toUpperCase().padStart(4, '0');
}
