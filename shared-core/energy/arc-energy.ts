import { type Answer, NOT_NEGATIVE, outOfRange, POSITIVE, value } from '../calculations/answer.ts';

/**
 * Arc energy: energy put into the arc for each millimetre of weld, without efficiency (American codes call it heat
 * input). Source: ISO/TR 18491:2015 clause 6, methods A, B, C (layout from memory); ASME IX QW-409.1(a) and (c), as printed
 * in NAVSEA S9074-AQ-GIB-010/248 4-4.1.13.2. Every value carries its method.
 */
export type ArcEnergyMethod = 'A' | 'B' | 'C';

/**
 * Method A, mean values: E = U·I/(1000·v), kJ/mm from V, A, mm/s. Not for waveform-controlled welding: there the mean of the
 * product is not the product of the means (up to 30 % wrong, either sign). Errors: out of range unless v > 0, U, I ≥ 0.
 */
export function arcEnergyFromMeans(input: {
  readonly voltageV: number;
  readonly currentA: number;
  readonly travelMmPerS: number;
}): Answer {
  const { voltageV, currentA, travelMmPerS } = input;
  return (
    outOfRange(
      ['arc voltage', voltageV, 'V', NOT_NEGATIVE],
      ['welding current', currentA, 'A', NOT_NEGATIVE],
      ['travel speed', travelMmPerS, 'mm/s', POSITIVE],
    ) ?? value((voltageV * currentA) / (1000 * travelMmPerS))
  );
}

/**
 * Method B, instantaneous energy: E = IE/(1000·L), kJ/mm from J and mm, IE = Σ u·i·Δt over the run, L the run-out length.
 * Errors: out of range unless L > 0, IE ≥ 0.
 */
export function arcEnergyFromEnergy(input: { readonly energyJ: number; readonly lengthMm: number }): Answer {
  return (
    outOfRange(
      ['energy', input.energyJ, 'J', NOT_NEGATIVE],
      ['run-out length', input.lengthMm, 'mm', POSITIVE],
    ) ?? value(input.energyJ / (1000 * input.lengthMm))
  );
}

/**
 * Method C, instantaneous power: E = IP/(1000·v), kJ/mm from W and mm/s, IP the mean of u·i.
 * Errors: out of range unless v > 0, IP ≥ 0.
 */
export function arcEnergyFromPower(input: {
  readonly powerW: number;
  readonly travelMmPerS: number;
}): Answer {
  return (
    outOfRange(
      ['instantaneous power', input.powerW, 'W', NOT_NEGATIVE],
      ['travel speed', input.travelMmPerS, 'mm/s', POSITIVE],
    ) ?? value(input.powerW / (1000 * input.travelMmPerS))
  );
}

/**
 * ASME IX QW-409.1(b), bead volume: length of weld bead per length of electrode = v/f, mm/mm from travel and wire feed in one
 * unit. Larger means a smaller bead. Errors: out of range unless f > 0, v ≥ 0.
 */
export function beadLengthPerWire(input: {
  readonly travelMmPerS: number;
  readonly wireFeedMmPerS: number;
}): Answer {
  return (
    outOfRange(
      ['travel speed', input.travelMmPerS, 'mm/s', NOT_NEGATIVE],
      ['wire feed speed', input.wireFeedMmPerS, 'mm/s', POSITIVE],
    ) ?? value(input.travelMmPerS / input.wireFeedMmPerS)
  );
}
