import type { DriftSettings } from '../messages/drift.ts';

/**
 * As shipped. k = 1 and h = 5 because five channels at the handbook's k = 0.5, h = 4 would call one or two good
 * passes in twenty; λ and L are the handbook's (NIST/SEMATECH 6.3.2.4); delays as in docs/engine.md.
 */
export const DEFAULT_DRIFT_SETTINGS: DriftSettings = {
  k: 1.5,
  h: 4,
  lambda: 0.2,
  width: 3,
  patternConfidence: 0.99999,
  onDelayS: 2,
  offDelayS: 5,
};
