/** Where limits differ by clock position the baseline does too: which zone a place lies in, which limits hold. */
import type { DriftChannel } from '../messages/drift.ts';
import { inClockZone } from '../position/clock-position.ts';
import type { ResolvedLimit } from '../procedure/limits.ts';

export type Zone = { readonly from: number; readonly to: number } | null;

/** As many as a record holds, all round included. */
const MOST_ZONES = 6;
/** A place this near the end of a zone may lie on either side of it, mm, at most: beyond, nothing would be left. */
const MOST_EDGE_MM = 60;
const LEAST_EDGE_MM = 25;

export const sameZone = (a: Zone, b: Zone): boolean =>
  a === b || (a !== null && b !== null && a.from === b.from && a.to === b.to);

/** Zones in the procedure's order, then the rest of the circumference. */
export function driftZones(limits: readonly ResolvedLimit[]): Zone[] {
  const zones: Zone[] = [];
  for (const { clockZone } of limits) {
    if (clockZone && !zones.some(zone => sameZone(zone, clockZone))) zones.push(clockZone);
  }
  return [...zones.slice(0, MOST_ZONES - 1), null];
}

/**
 * The zone at a place along the side; `between` where it cannot be told for sure: close to an end of a zone the
 * set changes and the place is only known to some mm.
 */
export function zoneAt(
  zones: readonly Zone[],
  clockAt: (alongMm: number) => number | null,
  alongMm: number,
  uncertaintyMm: number,
): number | 'between' {
  if (zones.length === 1) return 0;
  const edge = Math.min(MOST_EDGE_MM, Math.max(LEAST_EDGE_MM, uncertaintyMm));
  const here = zoneIndex(zones, clockAt(alongMm));
  const sure = [alongMm - edge, alongMm + edge].every(mm => zoneIndex(zones, clockAt(mm)) === here);
  return sure ? here : 'between';
}

function zoneIndex(zones: readonly Zone[], clock: number | null): number {
  const found = clock === null ? -1 : zones.findIndex(zone => zone !== null && inClockZone(clock, zone));
  return found < 0 ? zones.length - 1 : found;
}

/** Is there a limit, and is the value not beyond it? */
export function insideLimit(limit: ResolvedLimit | null, value: number): boolean {
  if (!limit || (limit.min === null && limit.max === null)) return false;
  return value >= (limit.min ?? Number.NEGATIVE_INFINITY) && value <= (limit.max ?? Number.POSITIVE_INFINITY);
}

const BASES = ['window', 'instant', 'pass'] as const;

/** The limit that window means are held against: the zone's own before one all round, project rules before the code's. */
export function limitFor(
  limits: readonly ResolvedLimit[],
  quantity: DriftChannel | 'oscillationWidth' | 'oscillationFrequency',
  zone: Zone,
): ResolvedLimit | null {
  const these = limits.filter(
    limit => limit.quantity === quantity && (limit.clockZone === null || sameZone(limit.clockZone, zone)),
  );
  const rank = ({ clockZone, basis }: ResolvedLimit): number =>
    (clockZone === null ? BASES.length : 0) + BASES.indexOf(basis);
  return these.sort((a, b) => rank(a) - rank(b))[0] ?? null;
}
