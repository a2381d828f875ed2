/**
 * Binary frames as a device sends them (docs/serial.md): for the simulator and the tests.
 */
import { printBinaryAnnouncement } from './binary-announcement.ts';
import { DATA, MAX_CONTENT, OWN_INTERVAL_BYTES, tagOf } from './binary-layout.ts';
import { cobsEncode } from './cobs.ts';
import { crc16 } from './crc16.ts';
import { type DeviceAnnouncement, type DeviceChannel, UNKNOWN_RAW } from './device-announcement.ts';
import type { EncodedAnnouncement } from './text-encoder.ts';

/** Throws RangeError where the announcement does not fit. */
export function encodeBinaryAnnouncement(device: DeviceAnnouncement): EncodedAnnouncement {
  return finishFrame(printBinaryAnnouncement(device));
}

/** How many samples of these channels one frame can carry, with or without an interval of its own. */
export function samplesPerBinaryFrame(channels: readonly DeviceChannel[], ownIntervals = false): number {
  return Math.floor((MAX_CONTENT - headerOf(ownIntervals)) / strideOf(channels));
}

/**
 * One data frame of equally long intervals. `samples` are the carried integers, each in announced order, null
 * for unknown. `counter` counts frames modulo 256, `tUs` modulo 2^32 is the start of the first interval.
 * `lengthUs` is the announced sample period unless the device announced intervals of its own.
 */
export function encodeBinaryData(
  device: DeviceAnnouncement,
  tag: number,
  counter: number,
  tUs: number,
  lengthUs: number,
  samples: readonly (readonly (number | null)[])[],
): Uint8Array {
  const { channels, samplePeriodUs, ownIntervals = false } = device;
  const most = samplesPerBinaryFrame(channels, ownIntervals);
  if (samples.length < 1 || samples.length > most) {
    throw new RangeError(`${samples.length} samples are not 1 to ${most} of a frame`);
  }
  if (!ownIntervals && lengthUs !== samplePeriodUs) {
    throw new RangeError(`an interval of ${lengthUs} µs is not the announced ${samplePeriodUs} µs`);
  }
  const length = headerOf(ownIntervals) + samples.length * strideOf(channels);
  const content = new Uint8Array(length);
  const view = new DataView(content.buffer);
  view.setUint16(DATA.tag, tag, true);
  view.setUint8(DATA.counter, counter & 0xff);
  view.setUint32(DATA.tUs, tUs % 2 ** 32, true);
  if (ownIntervals) view.setUint32(DATA.lengthUs, lengthUs, true);
  let at = headerOf(ownIntervals);
  for (const sample of samples) {
    channels.forEach(({ width }, i) => {
      const raw = sample[i] ?? UNKNOWN_RAW[width];
      if (width === 2) view.setInt16(at, raw, true);
      else view.setInt32(at, raw, true);
      at += width;
    });
  }
  return finishFrame(content).bytes;
}

function headerOf(ownIntervals: boolean): number {
  return DATA.samples + (ownIntervals ? OWN_INTERVAL_BYTES : 0);
}

function strideOf(channels: readonly DeviceChannel[]): number {
  return channels.reduce((sum, { width }) => sum + width, 0);
}

function finishFrame(content: Uint8Array): EncodedAnnouncement {
  const coded = cobsEncode(content);
  const crc = crc16(coded);
  const bytes = new Uint8Array(coded.length + 4);
  bytes.set(coded);
  bytes[coded.length] = 0x80 | (crc >> 14);
  bytes[coded.length + 1] = 0x80 | ((crc >> 7) & 0x7f);
  bytes[coded.length + 2] = 0x80 | (crc & 0x7f);
  return { bytes, tag: tagOf(crc) };
}
