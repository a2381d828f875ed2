import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AutoDecoder } from '#core/frame/auto-decoder';
import { BinaryDecoder } from '#core/frame/binary-decoder';
import { samplesPerBinaryFrame } from '#core/frame/binary-encoder';
import { cobsDecode, cobsEncode } from '#core/frame/cobs';
import { DelimitedDecoder } from '#core/frame/delimited-decoder';
import { delimitedMapSchema } from '#core/frame/delimited-map';
import { type DeviceAnnouncement, defaultDeviceChannels } from '#core/frame/device-announcement';
import type { DecoderOutput, FrameDecoder } from '#core/frame/frame-decoder';
import { FrameEncoder } from '#core/frame/frame-encoder';
import { TextDecoder as TextFrameDecoder } from '#core/frame/text-decoder';
import { Timeline } from '#core/frame/timeline';
import { CHANNEL_NAMES, type Channel } from '#core/sample/channels';
import { quantise } from '#core/sample/codec';
import { joined, pushInPieces, rowsOf, samplesOf } from '../unit/frame/frame-support.ts';

type Form = 'text' | 'binary';
const FORMS: readonly Form[] = ['text', 'binary'];
const makeDecoder = (form: Form): FrameDecoder =>
  form === 'text' ? new TextFrameDecoder() : new BinaryDecoder();

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

describe('any bytes at all', () => {
  const map = delimitedMapSchema.parse({
    time: { column: 0, unit: 'ms' },
    weldingCurrent: { column: 1, unit: 'A' },
    arcVoltage: { column: 2, unit: 'V' },
  });
  const decoders: readonly [string, () => FrameDecoder][] = [
    ['text', () => new TextFrameDecoder()],
    ['binary', () => new BinaryDecoder()],
    ['auto', () => new AutoDecoder()],
    ['delimited', () => new DelimitedDecoder(map, false)],
  ];
  const nasty = fc.oneof(
    fc.uint8Array({ maxLength: 600 }),
    fc
      .string({ unit: 'binary-ascii', maxLength: 300 })
      .map(text => Uint8Array.from(text, c => c.charCodeAt(0))),
    fc
      .array(fc.constantFrom('!', 'D', 'A', ',', '*', '\n', '\r', '0', '9', '-', 'F', ':', '.', 'e'), {
        maxLength: 300,
      })
      .map(parts => Uint8Array.from(parts.join(''), c => c.charCodeAt(0))),
    fc
      .array(fc.constantFrom(0, 1, 2, 0x44, 0x41, 0x80, 0xff), { maxLength: 300 })
      .map(b => Uint8Array.from(b)),
  );

  it.each(decoders)(
    '%s: never throws, never an impossible number, every byte accounted for',
    (name, make) => {
      fc.assert(
        fc.property(fc.array(nasty, { maxLength: 6 }), pieces, (inputs, sizes) => {
          const decoder = make();
          const outputs = inputs.flatMap(input => pushInPieces(decoder, input, sizes, 1_000_000));
          const { n, tUs, columns } = samplesOf(outputs);
          for (let i = 0; i < n; i++) {
            expect(Number.isSafeInteger(tUs[i])).toBe(true);
            const current = columns.weldingCurrent?.[i] ?? Number.NaN;
            const voltage = columns.arcVoltage?.[i] ?? Number.NaN;
            expect(Math.abs(current) > 2000 || Math.abs(voltage) > 200).toBe(false);
          }
          // Without a right checksum nothing becomes a sample: 2^-16 a line by chance, not in these runs.
          if (name !== 'delimited') expect(n).toBe(0);
          expect(decoder.counters.samples).toBe(n);
          for (const count of Object.values(decoder.counters)) expect(count).toBeGreaterThanOrEqual(0);
        }),
        { numRuns: 200 },
      );
    },
  );

  it('in a flood without a delimiter take no memory', () => {
    for (const [, make] of decoders) {
      const decoder = make();
      const flood = new Uint8Array(1_000_000).fill(0x31);
      for (let k = 0; k < 10; k++) expect(samplesOf(decoder.push(flood, 0)).n).toBe(0);
    }
  });
});

it('COBS has no zero, is at most one byte in 254 longer, and comes back', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 1000 }), plain => {
      const coded = cobsEncode(plain);
      expect(coded.includes(0)).toBe(false);
      expect(coded.length).toBeLessThanOrEqual(plain.length + 1 + Math.floor(plain.length / 254));
      expect(cobsDecode(coded)).toEqual(plain);
    }),
  );
});

it('the timeline is strictly monotone and keeps durations, whatever the device and the arrivals do', () => {
  const step = fc.record({
    deviceStepUs: fc.oneof(fc.constant(10_000), fc.integer({ min: 10_000, max: 10_000_000_000 })),
    arrivalStepUs: fc.oneof(fc.constant(10_000), fc.nat(5_000_000)),
    event: fc.constantFrom('none', 'none', 'none', 'restart', 'reconnect'),
    n: fc.integer({ min: 1, max: 5 }),
  });
  fc.assert(
    fc.property(fc.array(step, { maxLength: 60 }), fc.boolean(), (steps, follows) => {
      const timeline = new Timeline(follows, 500_000);
      let deviceUs = 0;
      let arrivalUs = 1_000_000;
      let last = -1;
      for (const { deviceStepUs, arrivalStepUs, event, n } of steps) {
        arrivalUs += arrivalStepUs;
        if (event === 'restart') {
          timeline.restart();
          deviceUs = 0;
        } else if (event === 'reconnect') {
          timeline.reconnect();
          deviceUs = (deviceUs + deviceStepUs) % 2 ** 32;
        } else deviceUs += deviceStepUs;
        const tUs = Float64Array.from({ length: n }, (_, k) => deviceUs + k * 1000);
        timeline.place({ n, tUs, lengthUs: new Float64Array(n).fill(1000), columns: {} }, arrivalUs);
        for (let k = 0; k < n; k++) {
          expect(Number.isSafeInteger(tUs[k])).toBe(true);
          expect(tUs[k]!).toBeGreaterThan(last);
          if (k > 0) expect(tUs[k]! - tUs[k - 1]!).toBe(1000);
          last = tUs[k]!;
        }
        deviceUs += (n - 1) * 1000;
      }
    }),
    { numRuns: 200 },
  );
});
