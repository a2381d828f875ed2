import { describe, expect, it } from 'vitest';
import { Pcg32 } from '../../../simulator/random/pcg32.ts';
import { randomStream } from '../../../simulator/random/random-streams.ts';
import { sineOfTurns } from '../../../simulator/random/sine-of-turns.ts';
import { SlowNoise } from '../../../simulator/random/slow-noise.ts';

describe('PCG32', () => {
  it('gives the numbers of the demonstration program of its authors', () => {
    // pcg32-demo, seed 42, stream 54, round 1 (pcg-random.org; from memory).
    const random = new Pcg32([0, 42], [0, 54]);
    const words = Array.from({ length: 6 }, () => random.nextUint32());
    expect(words).toEqual([0xa15c02b7, 0x7b47f409, 0xba1d3330, 0x83d2f293, 0xbfa4784b, 0xcbed606e]);
  });

  it('has uniform and bell-shaped numbers of the stated mean and deviation', () => {
    const random = randomStream(7, 'rig-a', 'test');
    const n = 40_000;
    const units = Array.from({ length: n }, () => random.nextUnit());
    const bells = Array.from({ length: n }, () => random.nextBell());
    const mean = (values: number[]) => values.reduce((sum, x) => sum + x, 0) / n;
    const variance = (values: number[]) => {
      const middle = mean(values);
      return mean(values.map(x => (x - middle) ** 2));
    };
    // Uniform: mean 1/2, variance 1/12; four standard errors either way.
    expect(Math.abs(mean(units) - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / n));
    expect(variance(units)).toBeCloseTo(1 / 12, 2);
    expect(Math.abs(mean(bells))).toBeLessThan(4 / Math.sqrt(n));
    expect(variance(bells)).toBeCloseTo(1, 1);
    expect(Math.max(...bells.map(Math.abs))).toBeLessThan(3.46);
  });

  it('gives each rig and each purpose a stream of its own', () => {
    const heads = ['rig-a', 'rig-b', 'rig-c'].flatMap(rig =>
      ['transfer', 'carriage'].map(purpose => randomStream(1, rig, purpose).nextUint32()),
    );
    expect(new Set(heads).size).toBe(6);
  });
});

describe('sine from arithmetic alone', () => {
  it('agrees with the mathematics library', () => {
    for (let i = -400; i <= 400; i++) {
      const turns = i / 160;
      expect(sineOfTurns(turns)).toBeCloseTo(Math.sin(2 * Math.PI * turns), 10);
    }
  });
});

describe('slow noise', () => {
  it('has its deviation and forgets over its correlation time', () => {
    const noise = new SlowNoise(randomStream(3, 'rig-a', 'noise'), 2, 0.05, 0.001);
    const n = 60_000;
    const values = Array.from({ length: n }, () => noise.next());
    const deviation = Math.sqrt(values.reduce((sum, x) => sum + x * x, 0) / n);
    expect(deviation).toBeGreaterThan(1.8);
    expect(deviation).toBeLessThan(2.2);
    let product = 0;
    for (let i = 50; i < n; i++) product += values[i]! * values[i - 50]!;
    // After one correlation time an Ornstein–Uhlenbeck process keeps 1/e of its correlation.
    expect(product / (n - 50) / deviation ** 2).toBeCloseTo(Math.exp(-1), 1);
  });
});
