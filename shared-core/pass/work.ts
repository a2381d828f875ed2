import { type ResolvedLimit, resolveLimits } from '../procedure/limits.ts';
import type { Procedure, ProcedurePass } from '../procedure/procedure.ts';
import type { EngineAssignment } from './engine-api.ts';
import type { WeldGeometry } from './quantities.ts';

/** EN 1011-1, table for process 135 MAG and 131 MIG. */
export const DEFAULT_THERMAL_EFFICIENCY = 0.8;

/** What the samples belong to, and what they are held against. */
export interface Work {
  /** Arcs of one key are one pass however long the stops; null: arcs are joined by time. */
  readonly key: string | null;
  readonly assignment: EngineAssignment | null;
  readonly label: string | null;
  readonly procedure: Procedure | null;
  readonly pass: ProcedurePass | null;
  readonly limits: readonly ResolvedLimit[];
  readonly geometry: WeldGeometry;
}

export interface WorkInput {
  readonly assignment?: EngineAssignment | null;
  readonly label?: string | null;
  /** Replay: what to judge against where nothing is assigned. */
  readonly procedure?: Procedure | null;
  readonly passName?: string | null;
}

export function workOf(input: WorkInput, referenceRadiusMm: number | null): Work {
  const assignment = input.assignment ?? null;
  const label = input.label ?? null;
  const procedure = assignment ? assignment.procedure : (input.procedure ?? null);
  const passName = assignment ? assignment.pass : (input.passName ?? null);
  const pass = procedure?.passes.find(candidate => candidate.name === passName) ?? null;
  const outsideDiameterMm = assignment?.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm ?? null;
  return {
    key: assignment ? `assignment ${assignment.id}` : label === null ? null : `label ${label}`,
    assignment,
    label,
    procedure,
    pass,
    limits: pass ? resolveLimits(pass) : [],
    geometry: {
      travelRatio:
        referenceRadiusMm !== null && outsideDiameterMm !== null
          ? outsideDiameterMm / 2 / referenceRadiusMm
          : 1,
      thermalEfficiency: procedure?.thermalEfficiency ?? DEFAULT_THERMAL_EFFICIENCY,
    },
  };
}
