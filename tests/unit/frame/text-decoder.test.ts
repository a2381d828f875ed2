import { describe, expect, it } from 'vitest';
import { TextDecoder as TextFrameDecoder } from '#core/frame/text-decoder';
import { encodeTextData } from '#core/frame/text-encoder';
import { CHANNEL_NAMES } from '#core/sample/channels';
import { ascii, device, encoder } from './frame-support.ts';

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
