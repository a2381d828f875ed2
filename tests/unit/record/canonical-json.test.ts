import { expect, test } from 'vitest';
import { canonicalJson, NotCanonicalError } from '#core/record/canonical-json';

/** RFC 8785 (June 2020), appendix B: IEEE 754 bits, big-endian → JSON number. Samples written down from memory. */
const APPENDIX_B: readonly [bits: string, text: string][] = [
  ['0000000000000000', '0'],
  ['8000000000000000', '0'],
  ['0000000000000001', '5e-324'],
  ['8000000000000001', '-5e-324'],
  ['7fefffffffffffff', '1.7976931348623157e+308'],
  ['ffefffffffffffff', '-1.7976931348623157e+308'],
  ['4340000000000000', '9007199254740992'],
  ['c340000000000000', '-9007199254740992'],
  ['4430000000000000', '295147905179352830000'],
  ['44b52d02c7e14af5', '9.999999999999997e+22'],
  ['44b52d02c7e14af6', '1e+23'],
  ['44b52d02c7e14af7', '1.0000000000000001e+23'],
  ['444b1ae4d6e2ef4e', '999999999999999700000'],
  ['444b1ae4d6e2ef4f', '999999999999999900000'],
  ['444b1ae4d6e2ef50', '1e+21'],
  ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
  ['3eb0c6f7a0b5ed8d', '0.000001'],
  ['41b3de4355555553', '333333333.3333332'],
  ['41b3de4355555554', '333333333.33333325'],
  ['41b3de4355555555', '333333333.3333333'],
  ['41b3de4355555556', '333333333.3333334'],
  ['41b3de4355555557', '333333333.33333343'],
  ['becbf647612f3696', '-0.0000033333333333333333'],
  ['43143ff3c1cb0959', '1424953923781206.2'],
];

test.each(APPENDIX_B)('the number of bits %s is written %s (RFC 8785 appendix B)', (bits, text) => {
  expect(canonicalJson(Buffer.from(bits, 'hex').readDoubleBE())).toBe(text);
});

test.each(['7fffffffffffffff', '7ff0000000000000', 'fff0000000000000'])(
  'the number of bits %s is refused (RFC 8785 appendix B: NaN and Infinity)',
  bits => {
    expect(() => canonicalJson(Buffer.from(bits, 'hex').readDoubleBE())).toThrow(NotCanonicalError);
  },
);

test('keys are in the order of their UTF-16 code units (RFC 8785 section 3.2.3, from memory)', () => {
  const value: unknown = JSON.parse(String.raw`{
    "\u20ac": "Euro Sign",
    "\r": "Carriage Return",
    "\ufb33": "Hebrew Letter Dalet With Dagesh",
    "1": "One",
    "\ud83d\ude00": "Emoji: Grinning Face",
    "\u0080": "Control",
    "\u00f6": "Latin Small Letter O With Diaeresis"
  }`);
  expect([...canonicalJson(value).matchAll(/:"([^"]+)"/g)].map(found => found[1])).toEqual([
    'Carriage Return',
    'One',
    'Control',
    'Latin Small Letter O With Diaeresis',
    'Euro Sign',
    'Emoji: Grinning Face',
    'Hebrew Letter Dalet With Dagesh',
  ]);
});

test('the sample of RFC 8785 sections 3.2.2 and 3.2.4 (from memory), to the byte', () => {
  const value: unknown = JSON.parse(String.raw`{
    "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
    "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
    "literals": [null, true, false]
  }`);
  const bytes =
    '7b226c69746572616c73223a5b6e756c6c2c747275652c66616c73655d2c226e756d62657273223a5b3333333333333333332e33333333' +
    '3333332c31652b33302c342e352c302e3030322c31652d32375d2c22737472696e67223a22e282ac245c75303030665c6e412742' +
    '5c225c5c5c5c5c222f227d';
  expect(Buffer.from(canonicalJson(value), 'utf8').toString('hex')).toBe(bytes);
});

test.each<[string, unknown, RegExp]>([
  ['NaN', { a: [0, Number.NaN] }, /^\$\.a\[1\] is NaN/],
  ['minus infinity', -Infinity, /^\$ is -Infinity/],
  ['undefined as a member', { a: undefined }, /^\$\.a is undefined/],
  ['a hole', new Array(2), /^\$\[0\] is undefined/],
  ['a lone surrogate', { text: 'a\ud800b' }, /^\$\.text holds half of a character/],
  ['a lone surrogate as a key', { '\udc00': 1 }, /^a key of \$ holds half of a character/],
  ['a BigInt', { 'some key': 1n }, /^\$\["some key"\] is a bigint/],
  ['a date', [new Date(0)], /^\$\[0\] is a Date/],
  ['a map', new Map(), /^\$ is a Map/],
  ['bytes', new Uint8Array(2), /^\$ is a Uint8Array/],
  ['a function', () => 1, /^\$ is a function/],
])('%s is refused and its place named', (_what, value, message) => {
  expect(() => canonicalJson(value)).toThrow(NotCanonicalError);
  expect(() => canonicalJson(value)).toThrow(message);
});

test('a value that holds itself is refused', () => {
  const value: Record<string, unknown> = {};
  value['self'] = value;
  expect(() => canonicalJson(value)).toThrow(/nested deeper than 100 levels$/);
});
