import { describe, expect, it } from 'vitest';
import { isAmbiguousIn, typedNumberIn } from '../../../dashboard/web/text/typed-number.ts';

// ISO 80000-1, 7.3: the decimal sign is a comma or a point; digits may be grouped by a space, never by either of them.
// That people still group by them is common practice: hence what may be one of two numbers is refused.
describe('numbers as people type them', () => {
  it.each([
    ['comma', '1,234', 1.234],
    ['comma', '12,5', 12.5],
    ['comma', '12.5', 12.5],
    ['comma', '0.125', 0.125],
    ['comma', '1.234', null],
    ['comma', '-12.500', null],
    ['comma', '1.234,5', null],
    ['comma', '1.234.567', null],
    ['point', '1.234', 1.234],
    ['point', '1,234', null],
    ['point', '609,6', 609.6],
    ['point', '1,234.5', null],
    ['point', '0,125', 0.125],
    ['point', '−3', -3],
    ['point', '12 500', null],
  ] as const)('%s: %s is %s', (decimal, typed, value) => expect(typedNumberIn(typed, decimal)).toBe(value));

  it('tells what may be one of two numbers from what is none', () => {
    expect(['1.234', '1.234,5', '1.234.567'].map(typed => isAmbiguousIn(typed, 'comma'))).toEqual([
      true,
      true,
      true,
    ]);
    expect(
      ['0.125', '12.5', '1234.567', 'x.', '1,234', ''].map(typed => isAmbiguousIn(typed, 'comma')),
    ).toEqual([false, false, false, false, false, false]);
  });
});
