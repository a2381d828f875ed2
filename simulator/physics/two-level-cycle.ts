/**
 * A current and voltage that switch between two levels, exactly: closed forms for means over a cycle and
 * over any slice of it.
 *
 *   Ī = D·Ih + (1−D)·Il      P̄ = D·Uh·Ih + (1−D)·Ul·Il = Ū·Ī + D(1−D)(Ih−Il)(Uh−Ul)
 *
 * D is the share of the high-current phase. With voltage rising with current (pulsed current) the mean
 * power is above mean U × mean I; with voltage falling as current rises (dips into the pool) it is below.
 * Source: derived here; Melfi, Welding Journal 2010, for the effect in practice.
 */
export interface TwoLevelCycle {
  readonly highS: number;
  readonly lowS: number;
  readonly highA: number;
  readonly lowA: number;
  readonly highV: number;
  readonly lowV: number;
}

/** Mean current, voltage and u·i of a slice, with `A`, `V`, `W`. */
export interface SliceMeans {
  readonly currentA: number;
  readonly voltageV: number;
  readonly powerW: number;
}

/** Seconds of [0, t] that lie in the high phase of an endless repetition starting with it. */
function highSecondsTo(cycle: TwoLevelCycle, t: number): number {
  const period = cycle.highS + cycle.lowS;
  const whole = Math.floor(t / period);
  return whole * cycle.highS + Math.min(cycle.highS, t - whole * period);
}

/** Means over fromS … toS of the endless repetition of `cycle`, which starts with its high phase at 0 s. */
export function meansOfTwoLevels(cycle: TwoLevelCycle, fromS: number, toS: number): SliceMeans {
  const high = (highSecondsTo(cycle, toS) - highSecondsTo(cycle, fromS)) / (toS - fromS);
  const low = 1 - high;
  return {
    currentA: high * cycle.highA + low * cycle.lowA,
    voltageV: high * cycle.highV + low * cycle.lowV,
    powerW: high * cycle.highA * cycle.highV + low * cycle.lowA * cycle.lowV,
  };
}

/** mean(i²) / mean(i)² of the cycle: what resistance heating sees. */
export function formFactor2(cycle: TwoLevelCycle): number {
  const share = cycle.highS / (cycle.highS + cycle.lowS);
  const mean = share * cycle.highA + (1 - share) * cycle.lowA;
  return (share * cycle.highA * cycle.highA + (1 - share) * cycle.lowA * cycle.lowA) / (mean * mean);
}
