import { describe, expect, it } from 'vitest';
import { crc16 } from '#core/frame/crc16';

const ascii = (text: string): Uint8Array => Uint8Array.from(text, c => c.charCodeAt(0));

/** The catalogue's definition, bit by bit: width 16, polynomial 1021, init FFFF, not reflected, xorout 0000. */
function bitwise(bytes: Uint8Array): number {
  let register = 0xffff;
  for (const byte of bytes) {
    for (let bit = 7; bit >= 0; bit--) {
      const top = (register >> 15) ^ ((byte >> bit) & 1);
      register = (register << 1) & 0xffff;
      if (top) register ^= 0x1021;
    }
  }
  return register;
}

describe('crc16', () => {
  // Catalogue of parametrised CRC algorithms, CRC-16/IBM-3740 (CCITT-FALSE), check value
  // (https://reveng.sourceforge.io/crc-catalogue/).
  it('gives the check value of the catalogue', () => {
    expect(crc16(ascii('123456789'))).toBe(0x29b1);
  });

  // Self-consistency: four bytes a step against the definition, every length and offset.
  it('agrees with the bitwise definition', () => {
    const bytes = Uint8Array.from({ length: 40 }, (_, i) => (i * 73 + 11) & 0xff);
    for (let from = 0; from < 8; from++) {
      for (let to = from; to <= bytes.length; to++) {
        expect(crc16(bytes, from, to)).toBe(bitwise(bytes.subarray(from, to)));
      }
    }
  });

  it('goes on from an earlier result', () => {
    const all = ascii('welding current');
    expect(crc16(all, 7, all.length, crc16(all, 0, 7))).toBe(crc16(all));
  });

  // Property of the polynomial: no error of one, two or three bits in a frame goes unnoticed
  // (Hamming distance 4 to 32751 bits: Koopman & Chakravarty, DSN 2004; from memory, checked here by trial).
  it('notices every error of one, two and three bits in 24 bytes', () => {
    const length = 24 * 8;
    const syndromes = Array.from({ length }, (_, bit) => {
      const error = new Uint8Array(24);
      error[bit >> 3] = 0x80 >> (bit & 7);
      return crc16(error) ^ crc16(new Uint8Array(24));
    });
    const seen = new Set(syndromes);
    expect(seen.size).toBe(length);
    expect(seen.has(0)).toBe(false);
    for (let a = 0; a < length; a++) {
      for (let b = a + 1; b < length; b++) expect(seen.has(syndromes[a]! ^ syndromes[b]!)).toBe(false);
    }
  });
});
