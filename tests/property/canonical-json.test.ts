import fc from 'fast-check';
import { expect, test } from 'vitest';
import { canonicalJson } from '#core/record/canonical-json';

/** Any JSON value. Compared with what JSON itself keeps of it: −0 is 0 in both. */
const json = fc.jsonValue({ stringUnit: 'binary', maxDepth: 5 });

test('reading a canonical text gives the value back, and its canonical text is the same', () => {
  fc.assert(
    fc.property(json, value => {
      const text = canonicalJson(value);
      expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
      expect(canonicalJson(JSON.parse(text))).toBe(text);
    }),
  );
});

test('members in another order give the same text', () => {
  fc.assert(
    fc.property(fc.dictionary(fc.string({ unit: 'binary' }), json), object => {
      const turned = Object.fromEntries(Object.entries(object).reverse());
      expect(canonicalJson(turned)).toBe(canonicalJson(object));
    }),
  );
});
