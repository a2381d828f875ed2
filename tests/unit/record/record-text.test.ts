import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { CHAIN_START, recordHashInput } from '#core/record/chain';

describe('the text of a record', () => {
  // jcs-numbers, grade A: RFC 8785 appendix B (16 of its rows), rfc-editor.org/rfc/rfc8785#appendix-B.
  // Record bodies are written by JSON.stringify; its numbers are the ones the RFC prescribes.
  test.each([
    ['0000000000000000', '0'],
    ['8000000000000000', '0'],
    ['0000000000000001', '5e-324'],
    ['7fefffffffffffff', '1.7976931348623157e+308'],
    ['4340000000000000', '9007199254740992'],
    ['4430000000000000', '295147905179352830000'],
    ['44b52d02c7e14af5', '9.999999999999997e+22'],
    ['44b52d02c7e14af6', '1e+23'],
    ['44b52d02c7e14af7', '1.0000000000000001e+23'],
    ['444b1ae4d6e2ef4e', '999999999999999700000'],
    ['444b1ae4d6e2ef50', '1e+21'],
    ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['3eb0c6f7a0b5ed8d', '0.000001'],
    ['41b3de4355555555', '333333333.3333333'],
    ['becbf647612f3696', '-0.0000033333333333333333'],
    ['43143ff3c1cb0959', '1424953923781206.2'],
  ])('the double %s is written %s', (hex, text) => {
    expect(JSON.stringify(Buffer.from(hex, 'hex').readDoubleBE(0))).toBe(text);
  });
});

describe('the hash chain', () => {
  const hash = (input: string): string => createHash('sha256').update(input, 'utf8').digest('hex');
  const record = { prev: CHAIN_START, stream: 'ab'.repeat(16), seq: 1, body: '{"a":1}' };

  // FIPS 180-4 example: SHA-256("abc"). What is passed in as hashing is that function.
  test('hashing is SHA-256', () => {
    expect(hash('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
  });

  test('any change of predecessor, stream, number or body changes what is hashed', () => {
    const variants = [
      record,
      { ...record, prev: `1${CHAIN_START.slice(1)}` },
      { ...record, stream: 'ba'.repeat(16) },
      { ...record, seq: 2 },
      { ...record, body: '{"a":2}' },
      { ...record, body: '{"a":1} ' },
    ];
    expect(new Set(variants.map(recordHashInput)).size).toBe(variants.length);
  });
});
