import type { Pcg32 } from './pcg32.ts';

/**
 * First-order autoregressive noise with mean 0, a standard deviation and a correlation time:
 * x ← a·x + √(1 − a²)·σ·n, a = 1 − dt/τ (discrete Ornstein–Uhlenbeck). dt must be below τ.
 */
export class SlowNoise {
  private value = 0;
  private readonly random: Pcg32;
  private readonly keep: number;
  private readonly fresh: number;

  constructor(random: Pcg32, deviation: number, correlationS: number, stepS: number) {
    this.random = random;
    this.keep = 1 - stepS / correlationS;
    this.fresh = Math.sqrt(1 - this.keep * this.keep) * deviation;
  }

  next(): number {
    this.value = this.keep * this.value + this.fresh * this.random.nextBell();
    return this.value;
  }
}
