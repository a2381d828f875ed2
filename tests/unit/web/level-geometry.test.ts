import { expect, it } from 'vitest';
import { levelRange } from '../../../dashboard/web/charts/level-geometry.ts';

// Plain arithmetic of the range; no source beyond it.

it('leaves a tenth of the spread above and below', () => {
  const { low, high } = levelRange([200, 210], null);
  expect(low).toBeCloseTo(199, 9);
  expect(high).toBeCloseTo(211, 9);
});

it('two values that read the same in figures do not fill the scale: it has its least span around them', () => {
  const { low, high } = levelRange([234.9, 235.1], null, 10);
  expect(low).toBeCloseTo(230, 9);
  expect(high).toBeCloseTo(240, 9);
});

it('a spread beyond the least span is drawn as without it', () => {
  expect(levelRange([200, 230], null, 10)).toEqual(levelRange([200, 230], null));
});
