import { describe, expect, it } from 'vitest';
import { AutoDecoder } from '#core/frame/auto-decoder';
import { BinaryDecoder } from '#core/frame/binary-decoder';
import { encodeBinaryData } from '#core/frame/binary-encoder';
import { CHANNEL_CODES } from '#core/frame/channel-codes';
import { type DeviceAnnouncement, layoutOf } from '#core/frame/device-announcement';
import type { FrameDecoder } from '#core/frame/frame-decoder';
import { FrameEncoder } from '#core/frame/frame-encoder';
import { TextDecoder as TextFrameDecoder } from '#core/frame/text-decoder';
import { encodeTextData } from '#core/frame/text-encoder';
import { CHANNEL_NAMES } from '#core/sample/channels';
import { quantise } from '#core/sample/codec';
import { ascii, device, FOUR, joined, rowsOf, samplesOf } from './frame-support.ts';

type Form = 'text' | 'binary';
const FORMS: readonly Form[] = ['text', 'binary'];
const makeDecoder = (form: Form): FrameDecoder =>
  form === 'text' ? new TextFrameDecoder() : new BinaryDecoder();
const encoder = (form: Form, announcement: DeviceAnnouncement = device()): FrameEncoder =>
  new FrameEncoder(form, announcement);
const weld = [236, 24, 171.17, 7.5] as const;

/** Data frames by hand, with counter and time of choice. */
function frame(
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

describe('text lines', () => {
  const enc = encoder('text');
  const good = String.fromCharCode(...encodeTextData(enc.tag, 0, 0, 10_000, [1, 2, 3, 4]));
  const checked = (body: string): Uint8Array => {
    // A right checksum around a wrong body: only the grammar is left to refuse it.
    const data = body.split('$').join(good.slice(3, 7));
    return ascii(`${data}*${crcOf(data)}\n`);
  };
  const crcOf = (body: string): string => {
    let crc = 0xffff;
    for (const char of body) {
      crc ^= char.charCodeAt(0) << 8;
      for (let i = 0; i < 8; i++) crc = crc & 0x8000 ? ((crc << 1) ^ 0x1021) & 0xffff : (crc << 1) & 0xffff;
    }
    return crc.toString(16).toUpperCase().padStart(4, '0');
  };
  const decoded = (bytes: Uint8Array): TextFrameDecoder => {
    const decoder = new TextFrameDecoder();
    decoder.push(enc.announcementBytes, 0);
    decoder.push(bytes, 0);
    return decoder;
  };

  it.each([
    ['too few values', '!D,$,0,0,10000,1,2,3'],
    ['too many values', '!D,$,0,0,10000,1,2,3,4,5'],
    ['NaN', '!D,$,0,0,10000,NaN,2,3,4'],
    ['Infinity', '!D,$,0,0,10000,1,Infinity,3,4'],
    ['minus zero', '!D,$,0,0,10000,-0,2,3,4'],
    ['an exponent', '!D,$,0,0,10000,1e3,2,3,4'],
    ['hexadecimal', '!D,$,0,0,10000,0x10,2,3,4'],
    ['an underscore', '!D,$,0,0,10000,1_000,2,3,4'],
    ['a decimal point', '!D,$,0,0,10000,1.5,2,3,4'],
    ['a plus sign', '!D,$,0,0,10000,+5,2,3,4'],
    ['a leading zero', '!D,$,0,0,10000,05,2,3,4'],
    ['a space', '!D,$,0,0,10000, 5,2,3,4'],
    ['a lone minus', '!D,$,0,0,10000,-,2,3,4'],
    ['more than 32 bits', '!D,$,0,0,10000,2147483648,2,3,4'],
    ['many digits', `!D,$,0,0,10000,${'9'.repeat(100)},2,3,4`],
    ['no interval', '!D,$,0,0,0,1,2,3,4'],
    ['an interval of a day', '!D,$,0,0,86400000000,1,2,3,4'],
    ['a counter of 17 bits', '!D,$,65536,0,10000,1,2,3,4'],
    ['a time of 33 bits', '!D,$,0,4294967296,10000,1,2,3,4'],
    ['an empty counter', '!D,$,,0,10000,1,2,3,4'],
    ['an unknown kind', '!X,$,0,0,10000,1,2,3,4'],
    ['a lower-case tag', '!D,abcd,0,0,10000,1,2,3,4'],
    ['a second checksum inside', '!D,$,0,0,10000,1,2,3,4*0000'],
    ['an announcement of nothing', '!A,1,R,7,10000'],
    ['an announcement with a scale of 0', '!A,1,R,7,10000,I:A:0'],
  ])('with %s are malformed', (_name, body) => {
    expect(decoded(checked(body)).counters).toMatchObject({ malformed: 1, samples: 0 });
  });

  it('with four good values are taken, whatever ends them', () => {
    for (const end of ['\n', '\r\n', '\r', '\n\n']) {
      expect(decoded(ascii(good.replace('\n', end))).counters).toMatchObject({
        samples: 1,
        discardedBytes: 0,
      });
    }
  });

  it.each([
    [
      'a lower-case checksum',
      good.replace(/\*(.*)\n/, (_, crc: string) => `*${crc.toLowerCase()}\n`),
      'badCrc',
    ],
    ['no checksum', good.replace(/\*.*\n/, '\n'), 'badCrc'],
    ['a wrong checksum', good.replace(',1,2,', ',1,3,'), 'badCrc'],
    ['text of a starting program', 'boot v1.2 ok\n', 'foreignLines'],
    ['a byte order mark before it', `\u00ef\u00bb\u00bf${good}`, 'notAscii'],
    ['a NUL in it', good.replace(',', ',\0'), 'notAscii'],
    ['255 characters and more', `!D,${'1'.repeat(300)}\n`, 'tooLong'],
    [
      'another protocol version',
      String.fromCharCode(...checked('!A,2,R,7,10000,new:thing')),
      'unknownVersion',
    ],
  ] as const)('with %s are counted by name', (_name, text, name) => {
    if (name === 'badCrc') expect(text).not.toBe(good);
    const { counters } = decoded(ascii(text));
    expect(counters).toMatchObject({ [name]: 1, samples: 0 });
    expect(counters.discardedBytes).toBeGreaterThan(0);
  });

  it('of 255 characters are read, of 256 not', () => {
    const wide = { ...device(), channels: device(CHANNEL_NAMES.slice(0, 5)).channels };
    const long = encoder('text', wide);
    const decoder = new TextFrameDecoder();
    decoder.push(long.announcementBytes, 0);
    decoder.push(ascii(`!${'D'.repeat(254)}\n!${'D'.repeat(255)}\n`), 0);
    expect(decoder.counters).toMatchObject({ badCrc: 1, tooLong: 1 });
  });
});

describe('binary frames', () => {
  it('of 255 bytes are read, longer ones are too long', () => {
    const decoder = new BinaryDecoder();
    decoder.push(encoder('binary').announcementBytes, 0);
    decoder.push(
      joined(new Uint8Array(255).fill(1), Uint8Array.of(0), new Uint8Array(256).fill(1), Uint8Array.of(0)),
      0,
    );
    expect(decoder.counters).toMatchObject({ badCrc: 1, tooLong: 1, discardedBytes: 511 });
  });

  it('refuse values they cannot carry by saying unknown', () => {
    const enc = encoder('binary');
    const outputs = new BinaryDecoder().push(
      joined(enc.announcementBytes, enc.data(0, 10_000, [[4000, 24, 400, 7]])),
      0,
    );
    expect(rowsOf(outputs, FOUR)).toEqual([[0, 10_000, null, 24, null, 7]]);
  });

  it('carry their own interval where that was announced, and only there', () => {
    const own = encoder('binary', { ...device(), ownIntervals: true });
    const outputs = new BinaryDecoder().push(
      joined(own.announcementBytes, own.data(0, 9_999, [weld, weld]), own.data(19_998, 10_003, [weld])),
      0,
    );
    expect(rowsOf(outputs, []).map(([tUs, lengthUs]) => [tUs, lengthUs])).toEqual([
      [0, 9_999],
      [9_999, 9_999],
      [19_998, 10_003],
    ]);
    expect(() => encoder('binary').data(0, 9_999, [weld])).toThrow('is not the announced 10000');
  });

  // Common practice, no source: 11520 bytes a second at 115200 baud.
  it('are short: 20 bytes for one sample of four channels, 92 for ten', () => {
    const enc = encoder('binary');
    expect(enc.data(0x01020304, 10_000, [weld])).toHaveLength(20);
    expect(
      enc.data(
        0x01020304,
        10_000,
        Array.from({ length: 10 }, () => weld),
      ),
    ).toHaveLength(92);
  });

  it('count what is lost beyond a turn of the 8-bit counter by the time gone by', () => {
    const enc = encoder('binary');
    const decoder = new BinaryDecoder();
    decoder.push(joined(enc.announcementBytes, frame('binary', enc, 10, 0)), 0);
    decoder.push(frame('binary', enc, 10 + 301, 301 * 10_000), 0);
    expect(decoder.counters.lostFrames).toBe(300);
  });

  it('share no memory between chunks', () => {
    const enc = encoder('binary');
    const decoder = new BinaryDecoder();
    const first = samplesOf(decoder.push(joined(enc.announcementBytes, enc.data(0, 10_000, [weld])), 0));
    for (let k = 1; k < 3000; k++) decoder.push(enc.data(k * 10_000, 10_000, [[1, 1, 1, 1]]), 0);
    expect(first.columns.weldingCurrent![0]).toBe(236);
    expect(decoder.counters.samples).toBe(3000);
  });
});

it('every channel has a letter of its own', () => {
  expect(new Set(Object.values(CHANNEL_CODES)).size).toBe(CHANNEL_NAMES.length);
});
