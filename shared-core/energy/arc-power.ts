/**
 * The three powers in use for one waveform, W, and the energy of it.
 * Source: J. Braz. Soc. Mech. Sci. Eng. 2021, doi 10.1007/s40430-021-03317-6, Eqs 1–4. The QW-409.1(c) one is the instantaneous.
 */
export interface ArcPower {
  readonly meanVoltageV: number;
  readonly meanCurrentA: number;
  /** (1/n)·Σ uᵢ·iᵢ: the true mean power of the samples. */
  readonly instantaneousW: number;
  /** mean(U)·mean(I): wrong on pulsed waveforms, in either direction. */
  readonly arithmeticalW: number;
  /** U_rms·I_rms: an upper bound (Cauchy–Schwarz). */
  readonly effectiveW: number;
}

/** Power of evenly spaced samples over whole cycles, V and A of equal length. Null for no samples. */
export function arcPower(voltageV: ArrayLike<number>, currentA: ArrayLike<number>): ArcPower | null {
  const n = Math.min(voltageV.length, currentA.length);
  if (n === 0) return null;
  let sumU = 0;
  let sumI = 0;
  let sumP = 0;
  let sumUu = 0;
  let sumIi = 0;
  for (let k = 0; k < n; k++) {
    const u = voltageV[k]!;
    const i = currentA[k]!;
    sumU += u;
    sumI += i;
    sumP += u * i;
    sumUu += u * u;
    sumIi += i * i;
  }
  return {
    meanVoltageV: sumU / n,
    meanCurrentA: sumI / n,
    instantaneousW: sumP / n,
    arithmeticalW: (sumU / n) * (sumI / n),
    effectiveW: Math.sqrt((sumUu / n) * (sumIi / n)),
  };
}

/**
 * Energy of unevenly spaced samples, J = Σ uᵢ·iᵢ·Δtᵢ, each sample held for its own interval in seconds.
 * Additive: cut anywhere, the parts sum to the whole.
 */
export function instantaneousEnergyJ(
  voltageV: ArrayLike<number>,
  currentA: ArrayLike<number>,
  intervalS: ArrayLike<number>,
): number {
  let sum = 0;
  let compensation = 0;
  for (let k = 0; k < intervalS.length; k++) {
    // Neumaier's compensated summation, written out: this is a hot path.
    const term = voltageV[k]! * currentA[k]! * intervalS[k]!;
    const next = sum + term;
    compensation += Math.abs(sum) >= Math.abs(term) ? sum - next + term : term - next + sum;
    sum = next;
  }
  return sum + compensation;
}
