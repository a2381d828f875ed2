/** The ring of layers of one joint: what each side has welded of each pass, from the passes' own positions. */
import type { JointRing } from '#core/messages/api';
import type { Assignment } from '#core/messages/assignment';
import type { Origin, Side } from '#core/messages/common';
import type { PassMessage } from '#core/messages/pass';
import type { Procedure } from '#core/procedure/procedure';
import type { DashboardStore } from '../store/store.ts';

type Work = NonNullable<Assignment['work']>;

/**
 * `assigned`: work on this joint that a rig has before it, for a joint whose first pass is not stored yet.
 * Null where neither a pass nor that says by which procedure, on what diameter, the joint is welded.
 */
export function jointRing(
  store: DashboardStore,
  joint: string,
  passes: readonly PassMessage[],
  assigned: Work | null,
): JointRing | null {
  const named = assigned ?? lastNamed(passes);
  if (!named) return null;
  const { procedureId, procedureRevision } = named;
  const procedure = store.procedure(procedureId, procedureRevision)?.procedure ?? null;
  const outsideDiameterMm = assigned?.outsideDiameterMm ?? diameterOf(store, passes, procedure);
  if (outsideDiameterMm === null) return null;
  const planned = procedure?.passes.map(pass => pass.name) ?? [];
  return {
    joint,
    procedureId,
    procedureRevision,
    outsideDiameterMm,
    layers: layerNames(planned, passes).map(pass => ({
      pass,
      sides: (['A', 'B'] as const).flatMap(side => sideOf(side, pass, passes)),
    })),
  };
}

function lastNamed(passes: readonly PassMessage[]): Pick<Work, 'procedureId' | 'procedureRevision'> | null {
  for (const { procedureId, procedureRevision } of passes.toReversed()) {
    if (procedureId !== null && procedureRevision !== null) return { procedureId, procedureRevision };
  }
  return null;
}

/** As assigned for the last pass that was; else as the procedure has it. */
function diameterOf(
  store: DashboardStore,
  passes: readonly PassMessage[],
  procedure: Procedure | null,
): number | null {
  for (const { assignmentId } of passes.toReversed()) {
    const work = assignmentId === null ? null : store.assignment(assignmentId)?.work;
    if (work) return work.outsideDiameterMm;
  }
  return procedure?.pipe?.outsideDiameterMm ?? null;
}

/** In the order of the procedure; passes it does not know follow in the order they were welded. */
function layerNames(planned: readonly string[], passes: readonly PassMessage[]): string[] {
  const welded = passes.flatMap(({ pass }) => (pass.procedurePass === null ? [] : [pass.procedurePass]));
  return [...new Set([...planned, ...welded])];
}

function sideOf(
  side: Side,
  name: string,
  passes: readonly PassMessage[],
): JointRing['layers'][number]['sides'] {
  const welded = passes.filter(pass => pass.side === side && pass.pass.procedurePass === name);
  if (welded.length === 0) return [];
  const uncertainties = welded.map(({ pass }) => pass.positionUncertaintyMm);
  const known = uncertainties.filter(value => value !== null);
  return [
    {
      side,
      spans: welded.flatMap(({ pass }) =>
        pass.startPositionMm === null || pass.endPositionMm === null
          ? []
          : [{ fromMm: pass.startPositionMm, toMm: pass.endPositionMm }],
      ),
      outOfRange: welded.flatMap(({ deviations }) =>
        deviations.flatMap(({ fromMm, toMm, quantity }) =>
          fromMm === null || toMm === null ? [] : [{ fromMm, toMm, quantity }],
        ),
      ),
      // Of several stretches the worst; unknown where none says.
      uncertaintyMm: known.length === 0 ? null : Math.max(...known),
    },
  ];
}

/** One joint number may stand for a real joint and for practice: real work comes first, never both. */
export function originShown(origins: readonly Origin[], asked: Origin | undefined): Origin {
  return asked ?? origins[0] ?? 'real';
}
