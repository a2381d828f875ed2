/** A simulated pass for the trust figures: a good one with what good passes vary by, and a fault on top where one is wanted. */
import type { Fault } from '../../../simulator/faults/fault.ts';
import { setPointOf, type WeldedPass, weldedPass } from '../simulated-pass.ts';
import { type GoodPass, goodPass } from './good-variation.ts';
import { RIGS, type RigName } from './trust-faults.ts';

export interface TrialPass {
  readonly seed: number;
  readonly rig: RigName;
  readonly pass: string;
  readonly lengthMm: number;
  /** Whether it may have a restart or a trim. */
  readonly events: boolean;
  readonly faults: readonly Fault[];
}

export function weldTrialPass(trial: TrialPass): WeldedPass & { readonly good: GoodPass } {
  const { seed, rig, pass, lengthMm, events, faults } = trial;
  const setPoint = setPointOf(pass);
  const good = goodPass(seed, lengthMm, setPoint.type, events);
  const welded = weldedPass(
    { ...setPoint, gasLPerMin: setPoint.gasLPerMin + good.gasAddLPerMin },
    {
      seed,
      lengthMm,
      faults: [...good.variation, ...faults],
      settings: { ...RIGS[rig], preheatCel: good.preheatCel },
    },
  );
  return { ...welded, good };
}
