import {
  type Bounded,
  isWithin,
  NOT_NEGATIVE,
  POSITIVE,
  rangeText,
  unitTail,
} from '../calculations/answer.ts';
import { type GroovePoint, type GrooveResult, grooveFromPoints } from './groove.ts';

/** Angles are per side, from the plane square to the pipe axis; lengths mm. Both sides of the joint are alike. */
interface CommonBevel {
  readonly wallMm: number;
  readonly gapMm: number;
  readonly rootFaceMm: number;
}

const ANGLE = { min: 0, max: 80 } as const;
const radians = (degrees: number): number => (degrees * Math.PI) / 180;

function firstWrong(checks: readonly Bounded[]): GrooveResult | null {
  for (const [name, given, unit, range] of checks) {
    if (!Number.isFinite(given)) return { kind: 'invalid', text: `${name} is not a finite number` };
    if (!isWithin(given, range)) {
      const text = `${name} ${given}${unitTail(unit)} is out of range: ${rangeText(range, unit)}`;
      return { kind: 'invalid', text };
    }
  }
  return null;
}

const common = ({ wallMm, gapMm, rootFaceMm }: CommonBevel): readonly Bounded[] => [
  ['wall thickness', wallMm, 'mm', { min: 0, max: 200, above: true }],
  ['gap', gapMm, 'mm', NOT_NEGATIVE],
  ['root face', rootFaceMm, 'mm', { min: 0, max: wallMm }],
];

/** The points up to the wall: those above it are cut off, the last segment ending on it. */
function upToWall(points: readonly GroovePoint[], wallMm: number): GrooveResult {
  const kept: GroovePoint[] = [];
  for (const point of points) {
    const below = kept[kept.length - 1];
    if (below !== undefined && point.heightMm <= below.heightMm) {
      // A segment of no height: the wider point stands for both.
      kept[kept.length - 1] = { heightMm: below.heightMm, widthMm: point.widthMm };
      continue;
    }
    if (below !== undefined && point.heightMm > wallMm) {
      const share = (wallMm - below.heightMm) / (point.heightMm - below.heightMm);
      kept.push({ heightMm: wallMm, widthMm: below.widthMm + share * (point.widthMm - below.widthMm) });
      break;
    }
    kept.push(point);
    if (point.heightMm === wallMm) break;
  }
  return grooveFromPoints(kept);
}

/** V: root face, then one angle to the outside. */
export function vGroove(input: CommonBevel & { readonly angleDegrees: number }): GrooveResult {
  const wrong = firstWrong([...common(input), ['bevel angle', input.angleDegrees, 'deg', ANGLE]]);
  if (wrong !== null) return wrong;
  const { wallMm, gapMm, rootFaceMm } = input;
  const top = gapMm + 2 * (wallMm - rootFaceMm) * Math.tan(radians(input.angleDegrees));
  return upToWall(
    [
      { heightMm: 0, widthMm: gapMm },
      { heightMm: rootFaceMm, widthMm: gapMm },
      { heightMm: wallMm, widthMm: top },
    ],
    wallMm,
  );
}

/** Compound: root face, a wide angle over `lowerHeightMm`, then a narrow angle to the outside. */
export function compoundGroove(
  input: CommonBevel & {
    readonly lowerAngleDegrees: number;
    readonly lowerHeightMm: number;
    readonly upperAngleDegrees: number;
  },
): GrooveResult {
  const wrong = firstWrong([
    ...common(input),
    ['lower bevel angle', input.lowerAngleDegrees, 'deg', ANGLE],
    ['lower bevel height', input.lowerHeightMm, 'mm', NOT_NEGATIVE],
    ['upper bevel angle', input.upperAngleDegrees, 'deg', ANGLE],
  ]);
  if (wrong !== null) return wrong;
  const { wallMm, gapMm, rootFaceMm, lowerHeightMm } = input;
  const knee = rootFaceMm + lowerHeightMm;
  const kneeWidth = gapMm + 2 * lowerHeightMm * Math.tan(radians(input.lowerAngleDegrees));
  const rise = Math.max(0, wallMm - knee);
  return upToWall(
    [
      { heightMm: 0, widthMm: gapMm },
      { heightMm: rootFaceMm, widthMm: gapMm },
      { heightMm: knee, widthMm: kneeWidth },
      { heightMm: knee + rise, widthMm: kneeWidth + 2 * rise * Math.tan(radians(input.upperAngleDegrees)) },
    ],
    wallMm,
  );
}

/** Chords of the J radius: 96 keep its area within 0.01 % of the arc's. */
const CHORDS = 96;

/** J: root face, an arc of `radiusMm` tangent to the bottom, then the bevel angle tangent to the arc. */
export function jGroove(
  input: CommonBevel & { readonly radiusMm: number; readonly angleDegrees: number },
): GrooveResult {
  const wrong = firstWrong([
    ...common(input),
    ['root radius', input.radiusMm, 'mm', POSITIVE],
    ['bevel angle', input.angleDegrees, 'deg', ANGLE],
  ]);
  if (wrong !== null) return wrong;
  const { wallMm, gapMm, rootFaceMm, radiusMm } = input;
  // The arc starts level, on the root face, and turns until it runs along the bevel.
  const end = Math.PI / 2 - radians(input.angleDegrees);
  const points: GroovePoint[] = [
    { heightMm: 0, widthMm: gapMm },
    { heightMm: rootFaceMm, widthMm: gapMm },
  ];
  for (let i = 1; i <= CHORDS; i++) {
    const turned = (end * i) / CHORDS;
    points.push({
      heightMm: rootFaceMm + radiusMm * (1 - Math.cos(turned)),
      widthMm: gapMm + 2 * radiusMm * Math.sin(turned),
    });
  }
  const last = points[points.length - 1]!;
  const rise = Math.max(0, wallMm - last.heightMm);
  points.push({
    heightMm: last.heightMm + rise,
    widthMm: last.widthMm + 2 * rise * Math.tan(radians(input.angleDegrees)),
  });
  return upToWall(points, wallMm);
}

/**
 * Reinforcement of a cap as a parabolic segment, mm² = ⅔·height·(groove width + 2·overlap); mm.
 * Source: Archimedes, quadrature of the parabola; the parabola is a usual stand-in for a bead's crown (common practice, no source).
 */
export const capAreaMm2 = (input: {
  readonly grooveWidthMm: number;
  readonly overlapMm: number;
  readonly reinforcementMm: number;
}): number => (2 / 3) * input.reinforcementMm * (input.grooveWidthMm + 2 * input.overlapMm);
