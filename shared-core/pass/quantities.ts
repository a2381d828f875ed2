/**
 * The quantities of a stretch of weld from its sums: means over the time each channel was known, energies
 * and lengths as integrals. The same for a window, a sliding second and a pass.
 */
import { SUM, type Sums } from '../arc/sums.ts';
import type { LimitedQuantity } from '../procedure/procedure.ts';

export type EnergyBasis = 'instantaneous' | 'frameProduct';

/** A channel known for less of the time than this is not known well enough to integrate. */
export const KNOWN_ENOUGH = 0.99;
/** A length of weld shorter than this has no energy per length, mm (not applied to a whole pass). */
export const MIN_WINDOW_MM = 5;

export type MeasuredQuantity = Exclude<
  LimitedQuantity,
  'preheatTemperature' | 'interpassTemperature' | 'contactTipToWorkDistance' | 'timeBetweenPasses'
>;
export type QuantityMeans = Readonly<Record<MeasuredQuantity, number | null>>;

/** Power counts only where it was present for all observed time. */
export function energyBasisOf(sums: Sums): EnergyBasis {
  const observedS = sums[SUM.observedS]!;
  const whole = observedS > 0 && sums[SUM.powerKnownS]! >= observedS * (1 - 1e-9);
  return whole ? 'instantaneous' : 'frameProduct';
}

export function energyKjOf(sums: Sums, basis: EnergyBasis): number {
  return sums[basis === 'instantaneous' ? SUM.powerJ : SUM.productJ]! / 1000;
}

export function mean(total: number, knownS: number): number | null {
  return knownS > 0 ? total / knownS : null;
}

/** An integral, or null where the channel was unknown for more than a hundredth of the time. */
export function wholeIntegral(total: number, knownS: number, observedS: number): number | null {
  return observedS > 0 && knownS >= observedS * KNOWN_ENOUGH ? total : null;
}

export interface WeldGeometry {
  /** Travel at the weld per reported travel: weld radius / reference radius. */
  readonly travelRatio: number;
  readonly thermalEfficiency: number;
}

/** Means and energies of `sums`; energy per length null where the length is unknown or below `minLengthMm`. */
export function quantityMeans(
  sums: Sums,
  geometry: WeldGeometry,
  minLengthMm = MIN_WINDOW_MM,
): QuantityMeans {
  const reportedMm = wholeIntegral(sums[SUM.travelMm]!, sums[SUM.travelKnownS]!, sums[SUM.observedS]!);
  const lengthMm = reportedMm === null ? null : reportedMm * geometry.travelRatio;
  const energyKj = energyKjOf(sums, energyBasisOf(sums));
  const arcEnergy = lengthMm !== null && lengthMm >= minLengthMm ? energyKj / lengthMm : null;
  const travel = mean(sums[SUM.travelMm]!, sums[SUM.travelKnownS]!);
  const gas = mean(sums[SUM.gasL]!, sums[SUM.gasKnownS]!);
  return {
    weldingCurrent: mean(sums[SUM.currentAs]!, sums[SUM.observedS]!),
    arcVoltage: mean(sums[SUM.voltageVs]!, sums[SUM.observedS]!),
    wireFeedSpeed: mean(sums[SUM.wireMm]!, sums[SUM.wireKnownS]!),
    travelSpeed: travel === null ? null : travel * geometry.travelRatio,
    arcEnergy,
    heatInput: arcEnergy === null ? null : arcEnergy * geometry.thermalEfficiency,
    gasFlow: gas === null ? null : gas * 60,
    oscillationWidth: mean(sums[SUM.oscillationWidthMmS]!, sums[SUM.oscillationWidthKnownS]!),
    oscillationFrequency: mean(sums[SUM.oscillationCycles]!, sums[SUM.oscillationKnownS]!),
  };
}
