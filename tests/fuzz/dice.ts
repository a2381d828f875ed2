/** Chance that can be had again: every case has its own, made of the run's seed and the case's number. */
import { Pcg32 } from '../../simulator/random/pcg32.ts';

export class Dice {
  private readonly random: Pcg32;

  constructor(seed: number, caseNumber: number) {
    this.random = new Pcg32([0, seed >>> 0], [0, caseNumber >>> 0]);
  }

  /** Uniform over 0 … `below` − 1. */
  below(below: number): number {
    return Math.floor(this.random.nextUnit() * below);
  }

  chance(share: number): boolean {
    return this.random.nextUnit() < share;
  }

  pick<T>(from: readonly T[]): T {
    return from[this.below(from.length)]!;
  }

  bytes(length: number): Uint8Array {
    return Uint8Array.from({ length }, () => this.below(256));
  }
}
