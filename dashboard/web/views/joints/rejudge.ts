import type { Pass, Verdict } from '#core/messages/pass';
import { beyond, type ResolvedLimit } from '#core/procedure/limits';

/** The averages of a pass that a code's limits are held against, in stored units. */
const averagesOf = (pass: Pass): Readonly<Record<string, number | null>> => ({
  weldingCurrent: pass.meanCurrentA,
  arcVoltage: pass.meanVoltageV,
  wireFeedSpeed: pass.meanWireFeedMmS,
  travelSpeed: pass.meanTravelMmS,
  arcEnergy: pass.arcEnergyKjMm,
  heatInput: pass.heatInputKjMm,
});

export type NotRejudged = 'samples' | 'unknown' | 'noRange' | 'energyMethod' | 'zone';
export type Rejudged =
  | { readonly limit: ResolvedLimit; readonly verdict: Verdict }
  | { readonly limit: ResolvedLimit; readonly why: NotRejudged };

/** Expanded relative uncertainty (k = 2) the record itself used for a quantity; null where it gives none. */
function relativeOf(pass: Pass, quantity: string): number | null {
  for (const verdict of pass.verdicts) {
    if (verdict.quantity !== quantity || verdict.value === null || verdict.value === 0) continue;
    if (verdict.expandedUncertainty !== null) return verdict.expandedUncertainty / Math.abs(verdict.value);
  }
  return null;
}

/**
 * The averages of a sealed pass held against another pass of a procedure. Windows and 1 s means need the samples
 * and are not judged here. The record keeps its own verdicts.
 * @param waveformControlled of the procedure: energy from mean values only is then not judged
 */
export function rejudge(
  pass: Pass,
  limits: readonly ResolvedLimit[],
  waveformControlled: boolean,
): Rejudged[] {
  const averages = averagesOf(pass);
  return limits.map(limit => {
    if (limit.min === null && limit.max === null) return { limit, why: 'noRange' };
    if (limit.basis !== 'pass') return { limit, why: 'samples' };
    if (limit.clockZone !== null) return { limit, why: 'zone' };
    const energy = limit.quantity === 'arcEnergy' || limit.quantity === 'heatInput';
    if (energy && waveformControlled && pass.energyBasis === 'frameProduct')
      return { limit, why: 'energyMethod' };
    const value = averages[limit.quantity] ?? null;
    const over = value === null ? null : beyond(value, limit);
    if (value === null || over === null) return { limit, why: 'unknown' };
    const relative = relativeOf(pass, limit.quantity);
    const expandedUncertainty = relative === null ? null : Math.abs(value) * relative;
    const exact = limit.min === limit.max;
    const out = exact ? over > (expandedUncertainty ?? 1e-9) : over > 0;
    const marginal = !exact && expandedUncertainty !== null && -over < expandedUncertainty;
    const { quantity, basis, unit, min, nominal, max } = limit;
    return {
      limit,
      verdict: {
        ...{ quantity, basis, unit, min, nominal, max, value, expandedUncertainty },
        state: out ? 'out' : marginal ? 'marginal' : 'in',
        outLengthMm: null,
        longestRunMm: null,
        reason: null,
      },
    };
  });
}
