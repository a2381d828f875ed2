import { describe, expect, it } from 'vitest';
import { BinaryDecoder } from '#core/frame/binary-decoder';
import type { DecoderOutput, FrameDecoder } from '#core/frame/frame-decoder';
import { TextDecoder as TextFrameDecoder } from '#core/frame/text-decoder';
import { concatChunks, type SampleChunk } from '#core/sample/chunk';
import {
  DEVICE_CHANNELS,
  DeviceEmulator,
  type DeviceFormat,
} from '../../../simulator/device/device-emulator.ts';
import { weldSteadily } from './steady-rig.ts';

const { frames } = weldSteadily({ seconds: 2 });

function decoded(format: DeviceFormat, firstUs: number): { outputs: DecoderOutput[]; decoder: FrameDecoder } {
  const device = new DeviceEmulator({
    format,
    boot: 3,
    samplePeriodUs: 20_000,
    firstUs,
    channels: DEVICE_CHANNELS,
  });
  const decoder: FrameDecoder = format === 'text' ? new TextFrameDecoder() : new BinaryDecoder();
  const outputs = [...decoder.push(device.announce(), 0)];
  for (const frame of frames) {
    const bytes = device.encode(frame);
    if (bytes) outputs.push(...decoder.push(bytes, 0));
  }
  return { outputs, decoder };
}

const chunkOf = (outputs: readonly DecoderOutput[]): SampleChunk =>
  concatChunks(outputs.flatMap(output => (output.kind === 'samples' ? [output.chunk] : [])));

describe.each(['text', 'binary'] as const)('a device that speaks the %s form', format => {
  it('is decoded to exactly what the rig reported, simulated and with its start count', () => {
    const { outputs, decoder } = decoded(format, 0);
    const announced = outputs.find(output => output.kind === 'announce');
    expect(announced?.announcement).toMatchObject({ simulated: true, boot: 3, samplePeriodUs: 20_000 });
    const chunk = chunkOf(outputs);
    expect(chunk.n).toBe(frames.length);
    for (const channel of DEVICE_CHANNELS) {
      // Travel speed is carried in steps of 0.002 mm/s, twice its resolution.
      const off = channel === 'travelSpeed' ? 0.001 + 1e-9 : 1e-9;
      frames.forEach((frame, i) => {
        expect(Math.abs(chunk.columns[channel]![i]! - frame.reported[channel]!)).toBeLessThanOrEqual(off);
      });
    }
    expect(decoder.counters.discardedBytes).toBe(0);
  });

  it('counts microseconds in 32 bits and goes on over the wrap', () => {
    const { outputs, decoder } = decoded(format, 2 ** 32 - 5_000_000);
    const chunk = chunkOf(outputs);
    expect(chunk.n).toBe(frames.length);
    for (let i = 1; i < chunk.n; i++) expect(chunk.tUs[i]! - chunk.tUs[i - 1]!).toBe(20_000);
    expect(decoder.counters.restarts).toBe(0);
    expect(decoder.counters.lostFrames).toBe(0);
  });
});

it('packs several samples into a binary frame at high rates, and none is held back longer than 20 ms', () => {
  const fast = {
    format: 'binary',
    boot: 1,
    samplePeriodUs: 5000,
    firstUs: 0,
    channels: DEVICE_CHANNELS,
  } as const;
  const device = new DeviceEmulator(fast);
  const sent = frames.slice(0, 8).map(frame => device.encode({ ...frame, lengthUs: 5000 }) !== null);
  expect(sent).toEqual([false, false, false, true, false, false, false, true]);
});
