import { dipCycle } from '../physics/dip-transfer.ts';
import { PULSE_SHAPE, pulsedCycle } from '../physics/pulsed-current.ts';
import { SprayNoise } from '../physics/spray-noise.ts';
import {
  formFactor2,
  meansOfTwoLevels,
  type SliceMeans,
  type TwoLevelCycle,
} from '../physics/two-level-cycle.ts';
import type { Pcg32 } from '../random/pcg32.ts';
import type { TransferMode } from './set-point.ts';

/**
 * Puts the fast life of the arc (dips, pulses, restlessness) on the slow currents and voltages of the
 * electrode model, keeping their means. One call is one 0.1 ms slice.
 */
export class TransferProcess {
  private readonly random: Pcg32;
  private readonly spray: SprayNoise;
  private readonly stepS: number;
  /** The running cycle and the slow values it was made for. */
  private cycle: TwoLevelCycle | null = null;
  private intoCycleS = 0;
  private meanA = 0;
  private meanV = 0;

  constructor(random: Pcg32, stepS: number) {
    this.random = random;
    this.stepS = stepS;
    this.spray = new SprayNoise(random, stepS);
  }

  /** Means over the next slice about slow values `currentA`, `voltageV`. */
  next(mode: TransferMode, currentA: number, voltageV: number, restlessness: number): SliceMeans {
    if (mode === 'spray') return this.sprayed(currentA, voltageV, restlessness);
    let fromS = this.intoCycleS;
    if (this.cycle === null || fromS >= this.cycle.highS + this.cycle.lowS) {
      if (this.cycle !== null) fromS -= this.cycle.highS + this.cycle.lowS;
      this.cycle =
        mode === 'dip'
          ? dipCycle(this.random, currentA, voltageV, restlessness)
          : pulsedCycle(PULSE_SHAPE, currentA, voltageV);
      this.meanA = currentA;
      this.meanV = voltageV;
    }
    const slice = meansOfTwoLevels(this.cycle, fromS, fromS + this.stepS);
    this.intoCycleS = fromS + this.stepS;
    // The slow values move on within a cycle: shift the levels with them.
    const addA = currentA - this.meanA;
    const addV = voltageV - this.meanV;
    return {
      currentA: slice.currentA + addA,
      voltageV: slice.voltageV + addV,
      powerW: slice.powerW + addV * slice.currentA + addA * slice.voltageV + addA * addV,
    };
  }

  /** mean(i²)/mean(i)² that resistance heating sees: counted where the current is modulated on purpose. */
  formFactor2(mode: TransferMode, currentA: number, voltageV: number): number {
    return mode === 'pulsed' && currentA > 1 ? formFactor2(pulsedCycle(PULSE_SHAPE, currentA, voltageV)) : 1;
  }

  /** The arc is out: the next one begins with a new cycle. */
  rest(): void {
    this.cycle = null;
    this.intoCycleS = 0;
  }

  private sprayed(currentA: number, voltageV: number, restlessness: number): SliceMeans {
    const noise = this.spray.next(restlessness);
    const noisyA = currentA * noise.currentFactor;
    const noisyV = voltageV + noise.addV;
    return { currentA: noisyA, voltageV: noisyV, powerW: noisyA * noisyV };
  }
}
