import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { AutoDecoder } from '#core/frame/auto-decoder';
import { BinaryDecoder } from '#core/frame/binary-decoder';
import { cobsDecode, cobsEncode } from '#core/frame/cobs';
import { DelimitedDecoder } from '#core/frame/delimited-decoder';
import { delimitedMapSchema } from '#core/frame/delimited-map';
import type { FrameDecoder } from '#core/frame/frame-decoder';
import { TextDecoder as TextFrameDecoder } from '#core/frame/text-decoder';
import { Timeline } from '#core/frame/timeline';
import { pushInPieces, samplesOf } from '../unit/frame/frame-support.ts';

const pieces = fc.array(fc.integer({ min: 1, max: 70 }), { minLength: 1, maxLength: 30 });

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
