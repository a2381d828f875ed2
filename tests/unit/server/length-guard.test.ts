import fc from 'fast-check';
import mqttPacket from 'mqtt-packet';
import { describe, expect, it } from 'vitest';
import { LengthGuard } from '../../../dashboard/server/broker/length-guard.ts';

const MAX = 65_536;

/**
 * Remaining-length examples of OASIS MQTT 3.1.1, section 2.2.3, table 2.4: the least and greatest value of
 * each number of bytes.
 */
const LENGTHS: readonly (readonly [number, readonly number[]])[] = [
  [0, [0x00]],
  [127, [0x7f]],
  [128, [0x80, 0x01]],
  [16_383, [0xff, 0x7f]],
  [16_384, [0x80, 0x80, 0x01]],
  [2_097_151, [0xff, 0xff, 0x7f]],
  [2_097_152, [0x80, 0x80, 0x80, 0x01]],
  [268_435_455, [0xff, 0xff, 0xff, 0x7f]],
];

describe('LengthGuard', () => {
  it.each(LENGTHS)('reads a remaining length of %i bytes', (length, bytes) => {
    const allowed = new LengthGuard(length);
    expect(allowed.accept(Uint8Array.of(0x30, ...bytes))).toBe(true);
    if (length > 0) {
      const refused = new LengthGuard(length - 1);
      expect(refused.accept(Uint8Array.of(0x30, ...bytes))).toBe(false);
    }
  });

  it('refuses a length field of more than four bytes', () => {
    expect(new LengthGuard(MAX).accept(Uint8Array.of(0x10, 0x80, 0x80, 0x80, 0x80))).toBe(false);
  });

  it('follows packets from a library through any chunking, and stops at the one that is too long', () => {
    const good = Buffer.concat([
      mqttPacket.generate({
        cmd: 'connect',
        clientId: 'a',
        clean: true,
        keepalive: 10,
        protocolId: 'MQTT',
        protocolVersion: 4,
      } as never),
      mqttPacket.generate({ cmd: 'pingreq' }),
      ...[0, 100, 200, 20_000].map(size =>
        mqttPacket.generate({
          cmd: 'publish',
          topic: 't',
          payload: Buffer.alloc(size),
          qos: 0,
          dup: false,
          retain: false,
        }),
      ),
    ]);
    const tooLong = Buffer.of(0x30, 0x81, 0x80, 0x04);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 9000 }), { minLength: 1 }), sizes => {
        const guard = new LengthGuard(MAX);
        let at = 0;
        for (let i = 0; at < good.length; i++) {
          const size = sizes[i % sizes.length]!;
          expect(guard.accept(good.subarray(at, at + size))).toBe(true);
          at += size;
        }
        expect(guard.accept(tooLong)).toBe(false);
      }),
      { numRuns: 30 },
    );
  });
});
