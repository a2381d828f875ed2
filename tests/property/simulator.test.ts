import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DEVICE_CHANNELS, DeviceEmulator } from '../../simulator/device/device-emulator.ts';
import type { RigFrame } from '../../simulator/rig/rig-frame.ts';
import { DEMO_SCENARIO } from '../../simulator/scenario/demo-scenario.ts';
import { rigsOfScenario } from '../../simulator/scenario/rigs-of-scenario.ts';

/** Bytes of the first `seconds` of one rig of the built-in scenario. */
function bytesOf(seed: number, rigCount: number, rig: number, seconds: number): string {
  const { program } = rigsOfScenario(DEMO_SCENARIO, seed, rigCount, 20)[rig]!;
  const device = new DeviceEmulator({
    format: 'text',
    boot: 1,
    samplePeriodUs: 20_000,
    firstUs: 0,
    channels: DEVICE_CHANNELS,
  });
  let text = '';
  for (let i = 0; i < seconds * 50; i++) text += Buffer.from(device.encode(program.nextFrame())!).toString();
  return text;
}

function framesOf(seed: number, frameMs: number, seconds: number): RigFrame[] {
  const { program } = rigsOfScenario(DEMO_SCENARIO, seed, 1, frameMs)[0]!;
  return Array.from({ length: (seconds * 1000) / frameMs }, () => program.nextFrame());
}

describe('a seed', () => {
  it('gives the same bytes every time, and another seed others', () => {
    fc.assert(
      fc.property(fc.nat(0xffff_ffff), seed => {
        const bytes = bytesOf(seed, 1, 0, 9);
        expect(bytesOf(seed, 1, 0, 9)).toBe(bytes);
        expect(bytesOf((seed + 1) % 2 ** 32, 1, 0, 9)).not.toBe(bytes);
      }),
      { numRuns: 8 },
    );
  });

  it('gives each rig the same bytes however many others there are', () => {
    fc.assert(
      fc.property(fc.nat(0xffff_ffff), fc.integer({ min: 2, max: 6 }), (seed, count) => {
        expect(bytesOf(seed, count, 0, 9)).toBe(bytesOf(seed, 1, 0, 9));
        expect(bytesOf(seed, count, 1, 9)).toBe(bytesOf(seed, 2, 1, 9));
      }),
      { numRuns: 6 },
    );
  });

  it('gives the same truth at every rate: a slow frame is the mean of the fast ones', () => {
    fc.assert(
      fc.property(fc.nat(0xffff_ffff), fc.constantFrom(2, 5, 20, 100), (seed, frameMs) => {
        const fast = framesOf(seed, 1, 9);
        const slow = framesOf(seed, frameMs, 9);
        slow.forEach((frame, i) => {
          const part = fast.slice(i * frameMs, (i + 1) * frameMs);
          for (const value of ['currentA', 'voltageV', 'powerW', 'feedMmS', 'travelMmS'] as const) {
            const mean = part.reduce((sum, each) => sum + each.truth[value], 0) / frameMs;
            expect(Math.abs(frame.truth[value] - mean)).toBeLessThan(1e-9 * Math.max(1, Math.abs(mean)));
          }
        });
      }),
      { numRuns: 6 },
    );
  });
});
