import type { DriftSettings } from '../messages/drift.ts';

/**
 * As shipped. The handbook's k = 0.5, h = 4 is for one channel of independent values: on seven that hang together in
 * themselves it calls good passes. k = 1.5, h = 3.75 were chosen by measuring on simulated passes (docs/trust.md): fewer
 * than one good pass in a hundred called, a change of 4 σ within 75 mm. λ and L are the handbook's (NIST/SEMATECH
 * 6.3.2.4); delays as in docs/engine.md.
 */
export const DEFAULT_DRIFT_SETTINGS: DriftSettings = {
  k: 1.5,
  h: 3.75,
  lambda: 0.2,
  width: 3,
  patternConfidence: 0.99999,
  onDelayS: 2,
  offDelayS: 5,
};
