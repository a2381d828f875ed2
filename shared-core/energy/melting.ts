import { type Answer, NOT_NEGATIVE, outOfRange, POSITIVE, value } from '../calculations/answer.ts';

const SHARE = { min: 0, max: 1, above: true } as const;

/**
 * Area of weld metal the arc can melt: A = η·f·U·I/(u·v), mm² from V, A, J/mm³, mm/s; η share of arc power reaching the work,
 * f share of that which melts. Source: energy balance, Kalpakjian & Schmid, Manufacturing Engineering and Technology ch. 30 (from
 * memory). Errors: out of range unless v, u > 0 and the shares lie in 0–1.
 */
export function meltedArea(input: {
  readonly powerW: number;
  readonly transferShare: number;
  readonly meltingShare: number;
  readonly meltingEnergyJPerMm3: number;
  readonly travelMmPerS: number;
}): Answer {
  return (
    outOfRange(
      ['arc power', input.powerW, 'W', NOT_NEGATIVE],
      ['share of power reaching the work', input.transferShare, '1', SHARE],
      ['share of heat that melts', input.meltingShare, '1', SHARE],
      ['melting energy', input.meltingEnergyJPerMm3, 'J/mm3', POSITIVE],
      ['travel speed', input.travelMmPerS, 'mm/s', POSITIVE],
    ) ??
    value(
      (input.powerW * input.transferShare * input.meltingShare) /
        (input.meltingEnergyJPerMm3 * input.travelMmPerS),
    )
  );
}

/** Energy to bring metal from `fromCel` to `toCel`, J/mm³ = ρ·c·ΔT; ρ in kg/m³, c in J/(kg·K). Latent heat neglected. */
export const heatingEnergyJPerMm3 = (input: {
  readonly densityKgPerM3: number;
  readonly heatCapacityJPerKgK: number;
  readonly fromCel: number;
  readonly toCel: number;
}): number => input.densityKgPerM3 * input.heatCapacityJPerKgK * (input.toCel - input.fromCel) * 1e-9;
