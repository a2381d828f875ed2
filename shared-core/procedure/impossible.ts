/**
 * A pass table that nothing can meet: said with the field, before anybody welds by it. Shapes, NaN and min ≥ max are
 * refused by the schema; here is what only shows when limits are held against each other and against a rig.
 */
import { type ResolvedLimit, resolveLimit } from './limits.ts';
import type { LimitBasis, LimitedQuantity, Procedure, ProcedurePass } from './procedure.ts';

export interface ProcedureProblem {
  /** As in the document: `passes.2.limits.4.max`. */
  readonly path: string;
  /** One sentence naming the pass and the field. */
  readonly message: string;
}

/** What a rig can do at all, mm/s. */
export interface RigRange {
  readonly travelMmPerS: { readonly min: number; readonly max: number };
  readonly wireFeedMmPerS: { readonly min: number; readonly max: number };
}

/** Plausible for any mechanised girth-welding rig; a setting, not a rule (common practice, no source). */
export const PLAUSIBLE_RIG: RigRange = {
  travelMmPerS: { min: 0.5, max: 50 },
  wireFeedMmPerS: { min: 5, max: 500 },
};

/** Mean voltage × mean current misses the true power of a pulsed waveform by up to this share, either way (ISO/TR 18491 method A). */
const WAVEFORM_ROOM = 0.3;

interface Placed {
  readonly limit: ResolvedLimit;
  readonly path: string;
}

/** Every problem, in the order of the document; empty where the table can be met. */
export function procedureProblems(procedure: Procedure, rig: RigRange = PLAUSIBLE_RIG): ProcedureProblem[] {
  return procedure.passes.flatMap((pass, index) => {
    const { placed, problems } = resolved(pass, `passes.${index}`);
    return [
      ...problems,
      ...placed.flatMap(one => emptyRange(pass, one)),
      ...contradictions(pass, placed),
      ...placed.flatMap(one => outsideRig(pass, one, rig)),
      ...unreachable(procedure, pass, placed),
    ];
  });
}

function resolved(pass: ProcedurePass, at: string): { placed: Placed[]; problems: ProcedureProblem[] } {
  const placed: Placed[] = [];
  const problems: ProcedureProblem[] = [];
  pass.limits.forEach((limit, i) => {
    const path = `${at}.limits.${i}`;
    try {
      placed.push({ limit: resolveLimit(limit), path });
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      problems.push({
        path: `${path}.unit`,
        message: `Pass "${pass.name}", ${limit.quantity}, unit: ${why}.`,
      });
    }
  });
  return { placed, problems };
}

function emptyRange(pass: ProcedurePass, { limit, path }: Placed): ProcedureProblem[] {
  const { quantity, min, max, nominal } = limit;
  const named = `Pass "${pass.name}", ${quantity}`;
  const bad = [min, max, nominal].find(value => value !== null && !Number.isFinite(value));
  if (bad !== undefined) return [{ path, message: `${named}: ${bad} is not a number.` }];
  // Temperatures may be below zero; nothing else may.
  const isTemperature = limit.unit === 'Cel';
  const low = min ?? nominal ?? max;
  if (!isTemperature && low !== null && low < 0) {
    return [{ path: `${path}.min`, message: `${named}, min: ${low} ${limit.unit} is below zero.` }];
  }
  return [];
}

/** Two limits on one quantity over one basis and zone that no value can meet together. */
function contradictions(pass: ProcedurePass, placed: readonly Placed[]): ProcedureProblem[] {
  return placed.flatMap(({ limit, path }, i) => {
    const against = placed.slice(0, i).find(({ limit: other }) => {
      const isSame =
        other.quantity === limit.quantity && other.basis === limit.basis && isSameZone(other, limit);
      return isSame && (above(limit.min) > below(other.max) || above(other.min) > below(limit.max));
    });
    if (!against) return [];
    const message =
      `Pass "${pass.name}", ${limit.quantity}: ${rangeWords(limit)} and ${rangeWords(against.limit)} ` +
      'cannot both be met.';
    return [{ path, message }];
  });
}

const isSameZone = (a: ResolvedLimit, b: ResolvedLimit): boolean =>
  a.clockZone?.from === b.clockZone?.from && a.clockZone?.to === b.clockZone?.to;
const above = (min: number | null): number => min ?? Number.NEGATIVE_INFINITY;
const below = (max: number | null): number => max ?? Number.POSITIVE_INFINITY;

function rangeWords({ min, max, unit }: Pick<ResolvedLimit, 'min' | 'max' | 'unit'>): string {
  if (min !== null && max !== null) return `${short(min)} to ${short(max)} ${unit}`;
  return min !== null ? `at least ${short(min)} ${unit}` : `at most ${short(max ?? Number.NaN)} ${unit}`;
}
const short = (value: number): string => String(Number(value.toPrecision(4)));

function outsideRig(pass: ProcedurePass, { limit, path }: Placed, rig: RigRange): ProcedureProblem[] {
  const range =
    limit.quantity === 'travelSpeed'
      ? rig.travelMmPerS
      : limit.quantity === 'wireFeedSpeed'
        ? rig.wireFeedMmPerS
        : null;
  if (range === null) return [];
  for (const field of ['min', 'nominal', 'max'] as const) {
    const value = limit[field];
    if (value === null || (value >= range.min && value <= range.max)) continue;
    const message =
      `Pass "${pass.name}", ${limit.quantity}, ${field}: ${short(value)} mm/s is outside what a rig can do, ` +
      `${range.min} to ${range.max} mm/s.`;
    return [{ path: `${path}.${field}`, message }];
  }
  return [];
}

/**
 * Energy limits against what the electrical and travel limits allow: U·I/v from the least power at the fastest travel to
 * the most power at the slowest. A limit that lies wholly outside can never be met.
 */
function unreachable(
  procedure: Procedure,
  pass: ProcedurePass,
  placed: readonly Placed[],
): ProcedureProblem[] {
  const range = (quantity: LimitedQuantity): { min: number; max: number } => hull(placed, quantity);
  const [current, voltage, travel] = [range('weldingCurrent'), range('arcVoltage'), range('travelSpeed')];
  const room = procedure.waveformControlled === true ? WAVEFORM_ROOM : 0;
  const least = ((current.min * voltage.min) / travel.max / 1000) * (1 - room);
  const most = ((current.max * voltage.max) / travel.min / 1000) * (1 + room);
  return placed.flatMap(({ limit, path }) => {
    if (limit.quantity !== 'arcEnergy' && limit.quantity !== 'heatInput') return [];
    const k = limit.quantity === 'heatInput' ? (procedure.thermalEfficiency ?? 0.8) : 1;
    const named = `Pass "${pass.name}", ${limit.quantity}`;
    const why = 'by its current, voltage and travel limits';
    if (limit.min !== null && limit.min > most * k) {
      const message = `${named}, min: ${short(limit.min)} kJ/mm cannot be reached, at most ${short(most * k)} kJ/mm ${why}.`;
      return [{ path: `${path}.min`, message }];
    }
    if (limit.max !== null && limit.max < least * k) {
      const message = `${named}, max: ${short(limit.max)} kJ/mm cannot be kept, at least ${short(least * k)} kJ/mm ${why}.`;
      return [{ path: `${path}.max`, message }];
    }
    return [];
  });
}

/** Narrowest range of a quantity over its bases; limits of different zones each count, so the widest of those. */
function hull(placed: readonly Placed[], quantity: LimitedQuantity): { min: number; max: number } {
  let found = { min: 0, max: Number.POSITIVE_INFINITY };
  for (const basis of ['pass', 'window', 'instant'] as const satisfies readonly LimitBasis[]) {
    const own = placed.filter(({ limit }) => limit.quantity === quantity && limit.basis === basis);
    if (own.length === 0) continue;
    const min = Math.min(...own.map(({ limit }) => limit.min ?? 0));
    const max = Math.max(...own.map(({ limit }) => limit.max ?? Number.POSITIVE_INFINITY));
    const isInside = min <= found.max && max >= found.min;
    if (isInside) found = { min: Math.max(found.min, min), max: Math.min(found.max, max) };
  }
  return found;
}
