import { convert } from '../units/ucum.ts';
import { LIMIT_UNITS, type LimitedQuantity } from './limit-units.ts';
import type { Limit, LimitBasis, ProcedurePass } from './procedure.ts';

/** A limit in its stored unit with its range worked out; null where the procedure gives none. */
export interface ResolvedLimit {
  readonly quantity: LimitedQuantity;
  readonly unit: string;
  readonly basis: LimitBasis;
  readonly min: number | null;
  readonly nominal: number | null;
  readonly max: number | null;
  readonly clockZone: { readonly from: number; readonly to: number } | null;
  readonly authority: string | null;
}

/**
 * The range a limit sets: min and max as given, or nominal ± tolerance, or exact for both.
 * Throws RangeError where the unit does not fit the quantity.
 */
export function resolveLimit(limit: Limit): ResolvedLimit {
  const unit = LIMIT_UNITS[limit.quantity];
  const stored = (value: number | undefined): number | null =>
    value === undefined ? null : convert(value, limit.unit, unit);
  const share = (limit.tolerancePercent ?? 0) / 100;
  const nominal = stored(limit.exact ?? limit.nominal);
  const spread = limit.tolerancePercent !== undefined && nominal !== null ? Math.abs(nominal) * share : null;
  const exact = limit.exact !== undefined;
  return {
    quantity: limit.quantity,
    unit,
    basis: limit.basis,
    min: exact ? nominal : spread !== null ? nominal! - spread : stored(limit.min),
    nominal,
    max: exact ? nominal : spread !== null ? nominal! + spread : stored(limit.max),
    clockZone: limit.clockZone ?? null,
    authority: limit.authority ?? null,
  };
}

/** Every limit of a pass, resolved. Throws RangeError naming the pass and the limit that does not fit. */
export function resolveLimits(pass: ProcedurePass): ResolvedLimit[] {
  return pass.limits.map((limit, i) => {
    try {
      return resolveLimit(limit);
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      throw new RangeError(`pass "${pass.name}", limit ${i + 1} on ${limit.quantity}: ${why}`);
    }
  });
}

/** How far `value` lies beyond the limit, in its unit: positive outside, negative inside, null without a range. */
export function beyond(value: number, limit: Pick<ResolvedLimit, 'min' | 'max'>): number | null {
  const below = limit.min === null ? Number.NEGATIVE_INFINITY : limit.min - value;
  const above = limit.max === null ? Number.NEGATIVE_INFINITY : value - limit.max;
  const most = Math.max(below, above);
  return Number.isFinite(most) ? most : null;
}
