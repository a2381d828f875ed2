import { BinaryDecoder } from '#core/frame/binary-decoder';
import { encodeBinaryData } from '#core/frame/binary-encoder';
import { type DeviceAnnouncement, defaultDeviceChannels } from '#core/frame/device-announcement';
import type { DecoderOutput, FrameDecoder } from '#core/frame/frame-decoder';
import { FrameEncoder } from '#core/frame/frame-encoder';
import { TextDecoder as TextFrameDecoder } from '#core/frame/text-decoder';
import { encodeTextData } from '#core/frame/text-encoder';
import type { Channel } from '#core/sample/channels';
import { concatChunks, type SampleChunk } from '#core/sample/chunk';

export const FOUR: readonly Channel[] = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'];

export function device(channels: readonly Channel[] = FOUR, boot = 7): DeviceAnnouncement {
  return { simulated: false, boot, samplePeriodUs: 10_000, channels: defaultDeviceChannels(channels) };
}

export function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

/** Pushes `bytes` in pieces of the given sizes (the last again and again). */
export function pushInPieces(
  decoder: FrameDecoder,
  bytes: Uint8Array,
  sizes: readonly number[],
  arrivalUs = 0,
): DecoderOutput[] {
  const outputs: DecoderOutput[] = [];
  for (let from = 0, k = 0; from < bytes.length; k++) {
    const size = sizes[Math.min(k, sizes.length - 1)]!;
    outputs.push(...decoder.push(bytes.subarray(from, from + size), arrivalUs));
    from += size;
  }
  return outputs;
}

/** All samples of the outputs as one chunk. */
export function samplesOf(outputs: readonly DecoderOutput[]): SampleChunk {
  return concatChunks(outputs.flatMap(output => (output.kind === 'samples' ? [output.chunk] : [])));
}

/** Rows [tUs, lengthUs, value…] for comparing; null for unknown. */
export function rowsOf(outputs: readonly DecoderOutput[], channels: readonly Channel[]): (number | null)[][] {
  const { n, tUs, lengthUs, columns } = samplesOf(outputs);
  return Array.from({ length: n }, (_, i) => [
    tUs[i]!,
    lengthUs === null ? null : lengthUs[i]!,
    ...channels.map(channel => {
      const value = columns[channel]?.[i] ?? Number.NaN;
      return Number.isNaN(value) ? null : value;
    }),
  ]);
}

export const ascii = (text: string): Uint8Array => Uint8Array.from(text, c => c.charCodeAt(0));

export type Form = 'text' | 'binary';
export const FORMS: readonly Form[] = ['text', 'binary'];

export const makeDecoder = (form: Form): FrameDecoder =>
  form === 'text' ? new TextFrameDecoder() : new BinaryDecoder();

export const encoder = (form: Form, announcement: DeviceAnnouncement = device()): FrameEncoder =>
  new FrameEncoder(form, announcement);

/** A reading of the four channels. */
export const weld = [236, 24, 171.17, 7.5] as const;

/** Data frames by hand, with counter and time of choice. */
export function frame(
  form: Form,
  enc: FrameEncoder,
  counter: number,
  tUs: number,
  raw = [2360, 2400, 17_117, 3750],
): Uint8Array {
  return form === 'text'
    ? encodeTextData(enc.tag, counter, tUs, 10_000, raw)
    : encodeBinaryData(enc.announcement, enc.tag, counter, tUs, 10_000, [raw]);
}
