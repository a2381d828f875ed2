/** Content of the binary announcement (binary-layout.ts), both ways. */
import {
  ANNOUNCEMENT,
  ANNOUNCEMENT_MARK,
  CHANNEL,
  FLAG_OWN_INTERVALS,
  FLAG_SIMULATED,
  MAX_CONTENT,
} from './binary-layout.ts';
import type { DeviceAnnouncement } from './device-announcement.ts';
import {
  type DeviceChannel,
  MAX_CHANNELS,
  MAX_INTERVAL_US,
  PROTOCOL_VERSION,
} from './device-announcement.ts';
import type { ParsedAnnouncement } from './text-announcement.ts';

const MAX_UNIT = 20;
const MAX_EXPONENT = 9;

export function parseBinaryAnnouncement(content: Uint8Array): ParsedAnnouncement {
  if (content.length < ANNOUNCEMENT.channels) return 'malformed';
  if (content[ANNOUNCEMENT.version] !== PROTOCOL_VERSION) return 'unknownVersion';
  const view = new DataView(content.buffer, content.byteOffset, content.byteLength);
  const flags = view.getUint8(ANNOUNCEMENT.flags);
  const samplePeriodUs = view.getUint32(ANNOUNCEMENT.samplePeriodUs, true);
  const count = view.getUint8(ANNOUNCEMENT.channelCount);
  if ((flags & ~(FLAG_SIMULATED | FLAG_OWN_INTERVALS)) !== 0) return 'malformed';
  if (samplePeriodUs < 1 || samplePeriodUs > MAX_INTERVAL_US) return 'malformed';
  if (count < 1 || count > MAX_CHANNELS) return 'malformed';
  const channels: DeviceChannel[] = [];
  let at: number = ANNOUNCEMENT.channels;
  for (let i = 0; i < count; i++) {
    if (at + CHANNEL.unit > content.length) return 'malformed';
    const unitLength = view.getUint8(at + CHANNEL.unitLength);
    const end = at + CHANNEL.unit + unitLength;
    if (unitLength < 1 || unitLength > MAX_UNIT || end > content.length) return 'malformed';
    const channel = parseChannel(view, at, content.subarray(at + CHANNEL.unit, end));
    if (channel === null) return 'malformed';
    channels.push(channel);
    at = end;
  }
  if (at !== content.length) return 'malformed';
  return {
    simulated: (flags & FLAG_SIMULATED) !== 0,
    ownIntervals: (flags & FLAG_OWN_INTERVALS) !== 0,
    boot: view.getUint32(ANNOUNCEMENT.boot, true),
    samplePeriodUs,
    channels,
  };
}

function parseChannel(view: DataView, at: number, unitBytes: Uint8Array): DeviceChannel | null {
  const code = view.getUint8(at + CHANNEL.code);
  const width = view.getUint8(at + CHANNEL.width);
  const digits = view.getUint16(at + CHANNEL.scaleDigits, true);
  const exponent = view.getInt8(at + CHANNEL.scaleExponent);
  if (code < 65 || code > 90 || (width !== 2 && width !== 4)) return null;
  if (digits === 0 || Math.abs(exponent) > MAX_EXPONENT) return null;
  if (unitBytes.some(byte => byte < 33 || byte > 126)) return null;
  return {
    code: String.fromCharCode(code),
    unit: String.fromCharCode(...unitBytes),
    // Through the decimal text, so that 1 and −1 give the double 0.1.
    scale: Number(`${digits}e${exponent}`),
    width,
  };
}

/** The inverse. Throws RangeError on an announcement that the form cannot carry. */
export function printBinaryAnnouncement(device: DeviceAnnouncement): Uint8Array {
  const length = device.channels.reduce(
    (sum, { unit }) => sum + CHANNEL.unit + unit.length,
    ANNOUNCEMENT.channels as number,
  );
  if (length > MAX_CONTENT)
    throw new RangeError(`an announcement of ${length} bytes: at most ${MAX_CONTENT}`);
  const content = new Uint8Array(length);
  const view = new DataView(content.buffer);
  view.setUint16(ANNOUNCEMENT.mark, ANNOUNCEMENT_MARK, true);
  view.setUint8(ANNOUNCEMENT.version, PROTOCOL_VERSION);
  const flags = (device.simulated ? FLAG_SIMULATED : 0) | (device.ownIntervals ? FLAG_OWN_INTERVALS : 0);
  view.setUint8(ANNOUNCEMENT.flags, flags);
  view.setUint32(ANNOUNCEMENT.boot, device.boot, true);
  view.setUint32(ANNOUNCEMENT.samplePeriodUs, device.samplePeriodUs, true);
  view.setUint8(ANNOUNCEMENT.channelCount, device.channels.length);
  let at: number = ANNOUNCEMENT.channels;
  for (const channel of device.channels) {
    const { digits, exponent } = splitScale(channel.scale);
    view.setUint8(at + CHANNEL.code, channel.code.charCodeAt(0));
    view.setUint8(at + CHANNEL.width, channel.width);
    view.setUint16(at + CHANNEL.scaleDigits, digits, true);
    view.setInt8(at + CHANNEL.scaleExponent, exponent);
    view.setUint8(at + CHANNEL.unitLength, channel.unit.length);
    for (let i = 0; i < channel.unit.length; i++) {
      view.setUint8(at + CHANNEL.unit + i, channel.unit.charCodeAt(i));
    }
    at += CHANNEL.unit + channel.unit.length;
  }
  if (typeof parseBinaryAnnouncement(content) === 'string') {
    throw new RangeError('not an announcement a binary frame can carry');
  }
  return content;
}

/** 0.002 → 2 and −3. */
function splitScale(scale: number): { digits: number; exponent: number } {
  for (let exponent = MAX_EXPONENT; exponent >= -MAX_EXPONENT; exponent--) {
    const digits = Math.round(Number(`${scale}e${-exponent}`));
    if (digits >= 1 && digits <= 0xffff && Number(`${digits}e${exponent}`) === scale)
      return { digits, exponent };
  }
  throw new RangeError(`scale ${scale} is not at most 65535 times a power of ten`);
}
