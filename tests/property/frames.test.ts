import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { samplesPerBinaryFrame } from '#core/frame/binary-encoder';
import { type DeviceAnnouncement, defaultDeviceChannels } from '#core/frame/device-announcement';
import type { DecoderOutput } from '#core/frame/frame-decoder';
import { FrameEncoder } from '#core/frame/frame-encoder';
import { CHANNEL_NAMES, type Channel } from '#core/sample/channels';
import { quantise } from '#core/sample/codec';
import {
  FORMS,
  type Form,
  joined,
  makeDecoder,
  pushInPieces,
  rowsOf,
  samplesOf,
} from '../unit/frame/frame-support.ts';

const announcement = (
  channels: readonly Channel[],
  samplePeriodUs = 1000,
  ownIntervals = false,
): DeviceAnnouncement => ({
  simulated: false,
  boot: 3,
  samplePeriodUs,
  ownIntervals,
  channels: defaultDeviceChannels(channels),
});

/** A stream as a device would send it, and the rows it means. */
interface Sent {
  readonly form: Form;
  readonly channels: readonly Channel[];
  readonly bytes: Uint8Array;
  readonly rows: (number | null)[][];
  readonly announcement: Uint8Array;
  /** Each data frame with its delimiter. */
  readonly frames: readonly Uint8Array[];
}

const sentArbitrary = (form: Form, maxFrames = 12): fc.Arbitrary<Sent> =>
  fc
    .record({
      channels: fc.uniqueArray(fc.constantFrom(...CHANNEL_NAMES), { minLength: 1, maxLength: 8 }),
      fromUs: fc.nat(2 ** 32 - 1),
      lengthUs: fc.integer({ min: 1, max: 100_000 }),
      ownIntervals: fc.boolean(),
      frames: fc.array(fc.integer({ min: 1, max: 10 }), { minLength: 1, maxLength: maxFrames }),
      seed: fc.array(fc.option(fc.integer({ min: -1900, max: 1900 }), { freq: 6 }), {
        minLength: 1,
        maxLength: 40,
      }),
    })
    .map(({ channels, fromUs, lengthUs, ownIntervals, frames, seed }) => {
      const device = announcement(channels, ownIntervals ? 777 : lengthUs, ownIntervals);
      const encoder = new FrameEncoder(form, device);
      const most = samplesPerBinaryFrame(device.channels, ownIntervals);
      const rows: (number | null)[][] = [];
      const sent: Uint8Array[] = [];
      let next = 0;
      let tUs = fromUs;
      for (const wanted of frames) {
        const samples = Array.from({ length: Math.min(wanted, most) }, () =>
          channels.map(channel => {
            const value = seed[next++ % seed.length] ?? null;
            return value === null ? null : channel === 'program' ? Math.abs(value) : value / 100;
          }),
        );
        sent.push(encoder.data(tUs, lengthUs, samples));
        for (const [k, sample] of samples.entries()) {
          const values = sample.map((value, i) =>
            value === null ? null : asCarried(channels[i]!, device.channels[i]!.scale, value),
          );
          rows.push([tUs + k * lengthUs, lengthUs, ...values]);
        }
        tUs += samples.length * lengthUs;
      }
      return {
        form,
        channels,
        bytes: joined(encoder.announcementBytes, ...sent),
        rows,
        announcement: encoder.announcementBytes,
        frames: sent,
      };
    });

function asCarried(channel: Channel, scale: number, value: number): number {
  return quantise(channel, Math.round(value / scale) * scale) + 0;
}

const pieces = fc.array(fc.integer({ min: 1, max: 70 }), { minLength: 1, maxLength: 30 });

describe.each(FORMS)('%s frames', form => {
  it('come out as they went in, in whatever pieces the bytes arrive', () => {
    fc.assert(
      fc.property(sentArbitrary(form), pieces, (sent, sizes) => {
        const outputs = pushInPieces(makeDecoder(form), sent.bytes, sizes);
        expect(rowsOf(outputs, sent.channels)).toEqual(sent.rows);
      }),
      { numRuns: 150 },
    );
  });

  it('with one or two flipped bits are never taken for right', () => {
    fc.assert(
      fc.property(
        sentArbitrary(form, 1),
        fc.nat(),
        fc.option(fc.nat(), { freq: 2 }),
        (sent, first, second) => {
          const broken = joined(...sent.frames);
          const bits = broken.length * 8;
          const places = [...new Set([first % bits, ...(second === null ? [] : [second % bits])])];
          for (const place of places) broken[place >> 3]! ^= 1 << (place & 7);
          const decoder = makeDecoder(form);
          decoder.push(sent.announcement, 0);
          const outputs = decoder.push(broken, 0);
          const rows = rowsOf(outputs, sent.channels);
          // Text: one frame a line, the lines without a flipped bit are still right.
          const modulo = (row: (number | null)[]) => [row[0]! % 2 ** 32, ...row.slice(1)];
          for (const row of rows) expect(sent.rows.map(modulo)).toContainEqual(modulo(row));
          if (form === 'binary') expect(rows).toEqual([]);
          else expect(rows.length).toBeLessThan(sent.rows.length);
        },
      ),
      { numRuns: 400 },
    );
  });

  it('among garbage are still found, and the garbage is counted', () => {
    fc.assert(
      fc.property(
        sentArbitrary(form),
        fc.array(fc.uint8Array({ maxLength: 400 }), { minLength: 1, maxLength: 5 }),
        pieces,
        (sent, garbage, sizes) => {
          const end = Uint8Array.of(form === 'text' ? 10 : 0);
          const dirty = joined(
            ...garbage.flatMap(noise => [noise, end]),
            sent.announcement,
            ...sent.frames.flatMap((frame, k) => [frame, garbage[k % garbage.length]!, end]),
          );
          const decoder = makeDecoder(form);
          const outputs = pushInPieces(decoder, dirty, sizes);
          expect(rowsOf(outputs, sent.channels)).toEqual(sent.rows);
        },
      ),
      { numRuns: 100 },
    );
  });

  it('lost, repeated and delayed are counted, and what is taken is in order and right', () => {
    fc.assert(
      fc.property(sentArbitrary(form, 12), fc.array(fc.nat(11), { maxLength: 30 }), (sent, order) => {
        const decoder = makeDecoder(form);
        const outputs = [...decoder.push(sent.announcement, 0)];
        for (const k of order) outputs.push(...decoder.push(sent.frames[k % sent.frames.length]!, 0));
        const restarts = outputs.filter(({ kind }) => kind === 'restart').length;
        for (const row of rowsOf(outputs, sent.channels)) {
          const [tUs, ...rest] = row;
          const same = sent.rows.filter(([t]) => t! % 2 ** 32 === tUs! % 2 ** 32);
          expect(same.map(([, ...values]) => values)).toContainEqual(rest);
        }
        for (const piece of splitAtRestarts(outputs)) {
          const { tUs, n } = samplesOf(piece);
          for (let i = 1; i < n; i++) expect(tUs[i]!).toBeGreaterThan(tUs[i - 1]!);
        }
        expect(decoder.counters.restarts).toBe(restarts);
      }),
      { numRuns: 100 },
    );
  });

  it('half of one and half of another do not make a frame after a reconnection', () => {
    fc.assert(
      fc.property(sentArbitrary(form, 4), fc.nat(), (sent, cut) => {
        const decoder = makeDecoder(form);
        const stream = joined(...sent.frames);
        const at = cut % stream.length;
        const before = decoder.push(joined(sent.announcement, stream.subarray(0, at)), 0);
        decoder.reset();
        const after = decoder.push(stream.subarray(at), 0);
        for (const row of rowsOf([...before, ...after], sent.channels)) {
          const [tUs, ...rest] = row;
          const same = sent.rows.filter(([t]) => t! % 2 ** 32 === tUs! % 2 ** 32);
          expect(same.map(([, ...values]) => values)).toContainEqual(rest);
        }
      }),
      { numRuns: 150 },
    );
  });
});

function splitAtRestarts(outputs: readonly DecoderOutput[]): DecoderOutput[][] {
  const all: DecoderOutput[][] = [[]];
  for (const output of outputs) {
    if (output.kind === 'restart') all.push([]);
    all.at(-1)!.push(output);
  }
  return all;
}

describe('one frame of each form', () => {
  // Every single and double bit flip of a whole frame with its delimiter, not a sample of them.
  it.each(FORMS)('%s: all single and double flips are rejected', form => {
    const device = announcement(['weldingCurrent', 'arcVoltage']);
    const encoder = new FrameEncoder(form, device);
    encoder.skipFrames(1207);
    const frame = encoder.data(40_960_000, 1000, [[236, 24]]);
    const decoder = makeDecoder(form);
    decoder.push(encoder.announcementBytes, 0);
    const end = Uint8Array.of(form === 'text' ? 10 : 0);
    const bits = frame.length * 8;
    const broken = frame.slice();
    const flip = (bit: number): void => {
      broken[bit >> 3]! ^= 1 << (bit & 7);
    };
    for (let a = 0; a < bits; a++) {
      flip(a);
      for (let b = a; b < bits; b++) {
        if (b > a) flip(b);
        decoder.push(broken, 0);
        // Whatever was left open by a flipped delimiter ends here.
        decoder.push(end, 0);
        if (b > a) flip(b);
      }
      flip(a);
    }
    expect(decoder.counters.samples).toBe(0);
    expect(decoder.push(frame, 0)).toHaveLength(1);
  });
});
