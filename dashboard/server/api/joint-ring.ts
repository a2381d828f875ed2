/** The ring of layers of one joint: what each side has welded of each pass, from the passes' own positions. */
import type { JointRing } from '#core/messages/api';
import type { Origin, Side } from '#core/messages/common';
import type { PassMessage } from '#core/messages/pass';
import type { DashboardStore } from '../store/store.ts';

/** Null where no pass of the joint says by which procedure, on what diameter, it was welded. */
export function jointRing(
  store: DashboardStore,
  joint: string,
  passes: readonly PassMessage[],
): JointRing | null {
  const latest = passes.findLast(pass => pass.procedureId !== null && pass.procedureRevision !== null);
  if (!latest || latest.procedureId === null || latest.procedureRevision === null) return null;
  const procedure = store.procedure(latest.procedureId, latest.procedureRevision)?.procedure ?? null;
  const assigned = latest.assignmentId === null ? null : store.assignment(latest.assignmentId);
  const outsideDiameterMm = assigned?.work?.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm;
  if (outsideDiameterMm === undefined) return null;
  return {
    joint,
    procedureId: latest.procedureId,
    procedureRevision: latest.procedureRevision,
    outsideDiameterMm,
    layers: layerNames(procedure?.passes.map(pass => pass.name) ?? [], passes).map(pass => ({
      pass,
      sides: (['A', 'B'] as const).flatMap(side => sideOf(side, pass, passes)),
    })),
  };
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
