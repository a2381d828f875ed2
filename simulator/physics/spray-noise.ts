import type { Pcg32 } from '../random/pcg32.ts';
import { SlowNoise } from '../random/slow-noise.ts';

/**
 * Spray transfer: no shorts, small restless variation of arc voltage and current from droplets and the
 * wandering arc root, correlated over about 2 ms; when the arc lengthens voltage rises and current falls.
 * 0.5 V and 2 % (one standard deviation at 10 kHz): common practice, no source.
 */
const VOLTAGE_DEVIATION_V = 0.5;
const CURRENT_DEVIATION = 0.02;
const CORRELATION_S = 0.002;

export class SprayNoise {
  private readonly common: SlowNoise;
  private readonly own: SlowNoise;

  constructor(random: Pcg32, stepS: number) {
    this.common = new SlowNoise(random, 1, CORRELATION_S, stepS);
    this.own = new SlowNoise(random, 1, CORRELATION_S, stepS);
  }

  /** Voltage to add, V, and the factor on the current. */
  next(restlessness: number): { readonly addV: number; readonly currentFactor: number } {
    const common = this.common.next();
    const own = this.own.next();
    return {
      addV: VOLTAGE_DEVIATION_V * restlessness * common,
      currentFactor: 1 + CURRENT_DEVIATION * restlessness * (0.8 * own - 0.6 * common),
    };
  }
}
