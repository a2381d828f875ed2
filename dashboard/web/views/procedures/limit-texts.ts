import { unitTail } from '#core/calculations/answer';
import { clockText } from '#core/position/clock-position';
import { type ResolvedLimit, resolveLimit } from '#core/procedure/limits';
import type { Limit } from '#core/procedure/procedure';
import type { ProcedurePlace, ProcedureValue } from '#core/procedure/procedure-differences';
import { convert } from '#core/units/ucum';
import { unitLabel } from '#core/units/unit-label';
import { DASHES } from '../../text/format.ts';
import { text } from '../../text/text.ts';
import { plainNumber } from '../sums/shown-number.ts';
import { lengthUnit, shownUnit, type UnitSystem } from './unit-system.ts';

/** A limit is shown as it was typed, to more digits than anyone types. */
const LIMIT_DIGITS = 6;

export interface LimitRow {
  readonly quantity: string;
  readonly min: string;
  readonly nominal: string;
  readonly max: string;
  readonly unit: string;
  /** How it was given, where that is not min, nominal and max. */
  readonly shape: string | null;
  readonly basis: string;
  readonly zone: string;
  readonly zoned: boolean;
  readonly authority: string;
}

export const zoneText = (zone: { readonly from: number; readonly to: number } | null): string =>
  zone === null
    ? text.value.procedures.wholeRing
    : text.value.procedures.zone(clockText(zone.from), clockText(zone.to));

/** One limit in the units of this device. */
export function limitRow(limit: Limit, system: UnitSystem): LimitRow {
  const t = text.value.procedures;
  const resolved: ResolvedLimit = resolveLimit(limit);
  const unit = shownUnit(limit.quantity, system);
  const shown = (value: number | null): string =>
    value === null ? DASHES : plainNumber(convert(value, resolved.unit, unit), LIMIT_DIGITS);
  return {
    quantity: text.value.quantity[limit.quantity] ?? limit.quantity,
    min: shown(resolved.min),
    nominal: shown(resolved.nominal),
    max: shown(resolved.max),
    unit: unitLabel(unit),
    shape:
      limit.exact !== undefined
        ? t.exactly
        : limit.tolerancePercent !== undefined
          ? t.plusMinusPercent(plainNumber(limit.tolerancePercent))
          : null,
    basis: t.basis[limit.basis],
    zone: zoneText(resolved.clockZone),
    zoned: resolved.clockZone !== null,
    authority: limit.authority ?? DASHES,
  };
}

/** A value of a procedure file: lengths in the user's unit, words of the catalogue where there are such. */
export function fieldText(path: string, value: unknown, system: UnitSystem): string {
  const t = text.value.procedures;
  if (typeof value === 'number') {
    if (!path.endsWith('Mm')) return plainNumber(value, 7);
    const unit = lengthUnit(system);
    return `${plainNumber(convert(value, 'mm', unit), LIMIT_DIGITS)}${unitTail(unit)}`;
  }
  if (Array.isArray(value)) {
    return value.map(one => (typeof one === 'number' ? plainNumber(one, 7) : one)).join('; ');
  }
  return t.choice[String(value)] ?? String(value);
}

/** One side of a difference, in words. */
export function valueText(place: ProcedurePlace, at: ProcedureValue | null, system: UnitSystem): string {
  if (at === null) return text.value.procedures.compare.absent;
  if (typeof at.value !== 'number' || at.unit === null || place.limit === null) {
    return fieldText(place.field, at.value, system);
  }
  const unit = shownUnit(place.limit.quantity, system);
  return `${plainNumber(convert(at.value, at.unit, unit), LIMIT_DIGITS)}${unitTail(unit)}`;
}
