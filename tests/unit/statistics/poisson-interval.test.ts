import { describe, expect, it } from 'vitest';
import { poissonInterval } from '#core/statistics/poisson-interval';

describe('interval of a Poisson mean', () => {
  // Exact 95 % limits as tabulated by Garwood, Biometrika 28 (1936), and Pearson & Hartley, table 40; from memory.
  it.each([
    [0, 0, 3.689],
    [1, 0.0253, 5.572],
    [2, 0.2422, 7.225],
    [5, 1.623, 11.668],
    [10, 4.795, 18.39],
  ])('of %i counts', (count, lower, upper) => {
    const [low, high] = poissonInterval(count, 0.95);
    expect(low).toBeCloseTo(lower, 3);
    expect(high).toBeCloseTo(upper, 2);
  });
});
