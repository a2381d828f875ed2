import { describe, expect, it } from 'vitest';
import { AutoDecoder } from '#core/frame/auto-decoder';
import { CHANNEL_CODES } from '#core/frame/channel-codes';
import { type DeviceAnnouncement, layoutOf } from '#core/frame/device-announcement';
import { CHANNEL_NAMES } from '#core/sample/channels';
import { quantise } from '#core/sample/codec';
import {
  device,
  encoder,
  FORMS,
  FOUR,
  frame,
  joined,
  makeDecoder,
  rowsOf,
  samplesOf,
  weld,
} from './frame-support.ts';

describe.each(FORMS)('%s frames', form => {
  it('carry samples with device time, interval and values', () => {
    const enc = encoder(form);
    const decoder = makeDecoder(form);
    const outputs = decoder.push(
      joined(enc.announcementBytes, enc.data(1_000_000, 10_000, [weld, [null, 24.01, Number.NaN, 0]])),
      0,
    );
    expect(rowsOf(outputs, FOUR)).toEqual([
      [1_000_000, 10_000, 236, 24, 171.17, 7.5],
      [1_010_000, 10_000, null, 24.01, null, 0],
    ]);
    expect(decoder.counters).toMatchObject({ samples: 2, announcements: 1, discardedBytes: 0 });
  });

  it('announce period, start number and channels in our units', () => {
    const enc = encoder(form, { ...device(), simulated: true });
    const [first] = makeDecoder(form).push(enc.announcementBytes, 0);
    expect(first).toEqual({
      kind: 'announce',
      announcement: {
        format: form,
        boot: 7,
        samplePeriodUs: 10_000,
        simulated: true,
        channels: [
          { channel: 'weldingCurrent', unit: 'A', resolution: 0.1 },
          { channel: 'arcVoltage', unit: 'V', resolution: 0.01 },
          { channel: 'wireFeedSpeed', unit: 'mm/s', resolution: 0.01 },
          { channel: 'travelSpeed', unit: 'mm/s', resolution: 0.002 },
        ],
      },
    });
  });

  it('carry every channel, quantised once to its resolution', () => {
    const enc = encoder(form, device(CHANNEL_NAMES));
    const values = CHANNEL_NAMES.map((_, i) => 10 + i);
    const { columns } = samplesOf(
      makeDecoder(form).push(joined(enc.announcementBytes, enc.data(0, 10_000, [values])), 0),
    );
    for (const [i, channel] of CHANNEL_NAMES.entries()) {
      expect(columns[channel]![0]).toBe(quantise(channel, values[i]!));
    }
    expect(enc.announcementBytes.length).toBeLessThanOrEqual(256);
  });

  // Unit factors: 1 [in_i] = 25.4 mm exactly; [degF]: (°F − 32) × 5/9 (UCUM; NIST SP 811 appendix B).
  it('convert announced units once', () => {
    const enc = encoder(form, {
      ...device(),
      channels: [
        { code: 'F', unit: '[in_i]/min', scale: 0.1, width: 2 },
        { code: 'T', unit: '[degF]', scale: 1, width: 2 },
        { code: 'I', unit: 'kA', scale: 0.0001, width: 2 },
      ],
    });
    const outputs = makeDecoder(form).push(
      joined(enc.announcementBytes, enc.data(0, 10_000, [[400, 212, 0.236]])),
      0,
    );
    expect(rowsOf(outputs, ['wireFeedSpeed', 'temperature', 'weldingCurrent'])).toEqual([
      [0, 10_000, quantise('wireFeedSpeed', (400 * 25.4) / 60), 100, 236],
    ]);
  });

  it('leave out a sample whose current or voltage cannot be, and only a value elsewhere', () => {
    const announcement: DeviceAnnouncement = {
      ...device(),
      channels: [
        { code: 'I', unit: 'A', scale: 1, width: 2 },
        { code: 'U', unit: 'V', scale: 0.1, width: 2 },
        { code: 'T', unit: 'Cel', scale: 1, width: 2 },
      ],
    };
    const enc = encoder(form, announcement);
    const decoder = makeDecoder(form);
    const samples = [
      [2000, 200, -273],
      [2001, 24, 20],
      [236, -200.1, 20],
      [-2000, 24, -274],
    ];
    const outputs = decoder.push(joined(enc.announcementBytes, enc.data(0, 10_000, samples)), 0);
    expect(rowsOf(outputs, ['weldingCurrent', 'arcVoltage', 'temperature'])).toEqual([
      [0, 10_000, 2000, 200, -273],
      [30_000, 10_000, -2000, 24, null],
    ]);
    expect(decoder.counters).toMatchObject({ samples: 2, impossibleSamples: 2, impossibleValues: 1 });
  });

  it('count a channel they do not know and read the others', () => {
    const enc = encoder(form, {
      ...device(),
      channels: [
        { code: 'Z', unit: 'V', scale: 1, width: 4 },
        { code: 'I', unit: 'A', scale: 0.1, width: 2 },
        { code: 'U', unit: 'mm', scale: 0.1, width: 2 },
        { code: 'I', unit: 'A', scale: 1, width: 2 },
      ],
    });
    const decoder = makeDecoder(form);
    const outputs = decoder.push(joined(enc.announcementBytes, enc.data(0, 10_000, [[1, 236, 3, 4]])), 0);
    expect(rowsOf(outputs, ['weldingCurrent'])).toEqual([[0, 10_000, 236]]);
    expect(decoder.counters.unknownChannel).toBe(3);
  });

  it('are not read before their own announcement', () => {
    const enc = encoder(form);
    const other = encoder(form, device(['weldingCurrent', 'arcVoltage', 'power', 'travelSpeed']));
    const decoder = makeDecoder(form);
    const outputs = decoder.push(
      joined(enc.data(0, 10_000, [weld]), other.announcementBytes, enc.data(10_000, 10_000, [weld])),
      0,
    );
    expect(samplesOf(outputs).n).toBe(0);
    expect(decoder.counters.beforeAnnounce).toBe(2);
  });

  it('count lost, repeated and late frames', () => {
    const enc = encoder(form);
    const decoder = makeDecoder(form);
    const at = (counter: number): Uint8Array => frame(form, enc, counter & 0xffff, counter * 10_000);
    const outputs = decoder.push(joined(enc.announcementBytes, ...[0, 1, 1, 4, 3, 5, 9].map(at)), 0);
    expect(rowsOf(outputs, []).map(([tUs]) => tUs)).toEqual([0, 10_000, 40_000, 50_000, 90_000]);
    expect(decoder.counters).toMatchObject({ lostFrames: 5, duplicateFrames: 1, outOfOrder: 1, restarts: 0 });
  });

  it('go on where the counter and the 32-bit time wrap', () => {
    const enc = encoder(form);
    const decoder = makeDecoder(form);
    const from = 2 ** 32 - 20_000;
    const outputs = decoder.push(
      joined(
        enc.announcementBytes,
        ...[0, 1, 2, 3].map(k => frame(form, enc, (65_534 + k) & 0xffff, (from + k * 10_000) % 2 ** 32)),
      ),
      0,
    );
    expect(rowsOf(outputs, []).map(([tUs]) => tUs! - from)).toEqual([0, 10_000, 20_000, 30_000]);
    expect(decoder.counters).toMatchObject({ lostFrames: 0, restarts: 0, outOfOrder: 0 });
  });

  it('begin anew when the device has counted a new start', () => {
    const decoder = makeDecoder(form);
    const [before, after] = [encoder(form, device(FOUR, 7)), encoder(form, device(FOUR, 8))];
    const outputs = decoder.push(
      joined(
        before.announcementBytes,
        before.data(5_000_000, 10_000, [weld]),
        after.announcementBytes,
        after.data(300, 10_000, [weld]),
      ),
      0,
    );
    expect(outputs.map(({ kind }) => kind)).toEqual([
      'announce',
      'samples',
      'restart',
      'announce',
      'samples',
    ]);
    expect(outputs[2]).toEqual({ kind: 'restart', cause: 'bootChanged' });
    expect(rowsOf(outputs, []).map(([tUs]) => tUs)).toEqual([5_000_000, 300]);
  });

  it.each([
    ['long after the last frame', 3_900_000_000, 40_000, 0],
    ['a little after it', 5_000_000, 500, 0],
    ['so soon that its time is hardly smaller', 30_000, 3, 2],
  ])('begin anew when counter and time fall back together, %s', (_name, lastUs, lastCounter, late) => {
    const enc = encoder(form, device(FOUR, 0));
    const decoder = makeDecoder(form);
    const outputs = decoder.push(
      joined(
        enc.announcementBytes,
        frame(form, enc, lastCounter, lastUs),
        ...[0, 1, 2, 3, 4].map(k => frame(form, enc, k, 100 + k * 5000)),
      ),
      0,
    );
    expect(decoder.counters).toMatchObject({ restarts: 1, outOfOrder: late });
    expect(outputs.filter(({ kind }) => kind === 'restart')).toEqual([
      { kind: 'restart', cause: 'jumpedBack' },
    ]);
    // Of the shortest kind some first frames are needed to tell it from late ones, and some overlap.
    expect(rowsOf(outputs, []).at(-1)![0]).toBe(20_100);
  });

  it('do not fuse half a frame with what comes after a reconnection', () => {
    const enc = encoder(form);
    const decoder = makeDecoder(form);
    const [one, two, three] = [0, 1, 2].map(k => frame(form, enc, k, k * 10_000));
    decoder.push(joined(enc.announcementBytes, one!, two!.subarray(0, 12)), 0);
    decoder.reset();
    const outputs = decoder.push(joined(two!.subarray(12), three!), 0);
    expect(rowsOf(outputs, []).map(([tUs]) => tUs)).toEqual([20_000]);
    expect(decoder.counters).toMatchObject({ samples: 2, skippedBytes: two!.length - 13, badCrc: 0 });
  });

  it('are found by the detecting decoder', () => {
    const enc = encoder(form);
    const decoder = new AutoDecoder();
    const noise = Uint8Array.of(0x80, 13, 0, 255, 10, 0, form === 'text' ? 10 : 0);
    const outputs = [
      ...decoder.push(noise, 0),
      ...decoder.push(joined(enc.announcementBytes, enc.data(0, 10_000, [weld])), 0),
    ];
    expect(rowsOf(outputs, FOUR)).toEqual([[0, 10_000, 236, 24, 171.17, 7.5]]);
  });

  it('use the announced layout to its last bit', () => {
    const { fields } = layoutOf(device(), form);
    expect(fields.map(({ lo, hi }) => [lo, hi])).toEqual([
      [-20_000, 20_000],
      [-20_000, 20_000],
      [-32_767, 32_767],
      [-32_767, 32_767],
    ]);
  });
});

it('every channel has a letter of its own', () => {
  expect(new Set(Object.values(CHANNEL_CODES)).size).toBe(CHANNEL_NAMES.length);
});
