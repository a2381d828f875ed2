/** What each pass put into the groove, and how deep it lies by that. */
import { type LayerDepth, layerDepths } from '#core/indication/layer-depth';
import type { PassMessage } from '#core/messages/pass';
import { compoundGroove, vGroove } from '#core/metal/bevels';
import { depositAreaMm2 } from '#core/metal/deposit';
import type { Groove } from '#core/metal/groove';
import type { Procedure } from '#core/procedure/procedure';

/** The groove of a procedure's bevel; null where it does not say enough of it. */
export function grooveOf(procedure: Procedure | null, wallMm: number | null): Groove | null {
  const bevel = procedure?.bevel;
  const angles = bevel?.anglesDegrees ?? [];
  if (!bevel || wallMm === null || bevel.rootFaceMm === undefined || angles.length === 0) return null;
  const common = { wallMm, rootFaceMm: bevel.rootFaceMm, gapMm: bevel.gapMm ?? 0 };
  const made =
    angles.length === 1
      ? vGroove({ ...common, angleDegrees: angles[0]! })
      : angles.length === 2 && bevel.lowerHeightMm !== undefined
        ? compoundGroove({
            ...common,
            lowerAngleDegrees: angles[0]!,
            lowerHeightMm: bevel.lowerHeightMm,
            upperAngleDegrees: angles[1]!,
          })
        : null;
  return made?.kind === 'groove' ? made.groove : null;
}

/**
 * Depth of each of `order`'s passes on one side, by the mean deposit of its recorded passes. Null for a pass that
 * is not recorded or whose feed, travel or wire is not known, and for every one after it.
 */
export function depthsOf(
  groove: Groove | null,
  order: readonly string[],
  recorded: (pass: string) => readonly PassMessage[],
  procedure: Procedure | null,
): ReadonlyMap<string, LayerDepth | null> {
  if (!groove) return new Map(order.map(pass => [pass, null]));
  const areas = order.map(name => {
    const diameterMm = procedure?.passes.find(pass => pass.name === name)?.wire?.diameterMm;
    const messages = recorded(name);
    if (diameterMm === undefined || messages.length === 0) return null;
    const found = messages.map(({ pass }) => areaOf(pass.meanWireFeedMmS, pass.meanTravelMmS, diameterMm));
    return found.includes(null) ? null : found.reduce<number>((sum, one) => sum + one!, 0) / found.length;
  });
  const depths = layerDepths(groove, areas);
  return new Map(order.map((pass, i) => [pass, depths[i] ?? null]));
}

function areaOf(feedMmPerS: number | null, travelMmPerS: number | null, diameterMm: number): number | null {
  if (feedMmPerS === null || travelMmPerS === null || travelMmPerS <= 0) return null;
  const answer = depositAreaMm2({
    wireFeedMmPerS: feedMmPerS,
    travelMmPerS,
    diameterMm,
  });
  return answer.kind === 'value' ? answer.value : null;
}
