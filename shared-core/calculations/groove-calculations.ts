import { capAreaMm2, compoundGroove, jGroove, vGroove } from '../metal/bevels.ts';
import {
  areaBelow,
  fillHeight,
  type GrooveResult,
  grooveAreaMm2,
  remainingAreaMm2,
  wallOf,
  widthAt,
} from '../metal/groove.ts';
import { calculation } from './calculation.ts';
import { INPUT, input, inputAbove } from './common-inputs.ts';

const common = {
  wall: INPUT.wall,
  rootFace: { ...input('root face', 'mm', 0, 50, ['[in_i]']), fallback: 0 },
  gap: { ...input('gap', 'mm', 0, 20, ['[in_i]']), fallback: 0 },
  filled: { ...input('area of metal laid down', 'mm2', 0, 5000), fallback: 0 },
  flushAllowance: { ...input('left below flush before the cap', 'mm', 0, 50, ['[in_i]']), fallback: 0 },
  overlap: { ...input('cap overlap on each edge', 'mm', 0, 20, ['[in_i]']), fallback: 1.5 },
  reinforcement: { ...input('cap reinforcement', 'mm', 0, 10, ['[in_i]']), fallback: 1.5 },
} as const;

const outputs = {
  area: { label: 'groove area to flush', unit: 'mm2' },
  topWidth: { label: 'width at the outside', unit: 'mm', also: ['[in_i]'] },
  cap: { label: 'cap reinforcement area', unit: 'mm2' },
  remaining: { label: 'left to fill before the cap', unit: 'mm2' },
  height: { label: 'fill stands at', unit: 'mm', also: ['[in_i]'] },
  width: { label: 'groove width there', unit: 'mm', also: ['[in_i]'] },
  filledShare: { label: 'share of the fill laid down', unit: '%' },
} as const;

type Values = { readonly [K in keyof typeof common]: number };
type Filled =
  | { readonly kind: 'value'; readonly value: { readonly [K in keyof typeof outputs]: number | null } }
  | { readonly kind: 'invalid'; readonly text: string };

function filling(result: GrooveResult, v: Values): Filled {
  if (result.kind === 'invalid') return result;
  const { groove } = result;
  const topWidth = widthAt(groove, wallOf(groove));
  const height = fillHeight(groove, v.filled);
  const wanted = areaBelow(groove, wallOf(groove) - v.flushAllowance);
  return {
    kind: 'value',
    value: {
      area: grooveAreaMm2(groove),
      topWidth,
      cap: capAreaMm2({
        grooveWidthMm: topWidth,
        overlapMm: v.overlap,
        reinforcementMm: v.reinforcement,
      }),
      remaining: remainingAreaMm2(groove, v.filled, v.flushAllowance),
      height,
      width: widthAt(groove, height),
      filledShare: wanted > 0 ? (v.filled / wanted) * 100 : null,
    },
  };
}

const SHARED = {
  group: 'Metal and wire',
  source: 'plane geometry; cap as a parabolic segment (common practice, no source)',
  validity: 'both sides of the joint alike; angles per side from square',
  caution: null,
  outputs,
} as const;
const angle = (label: string): ReturnType<typeof input> => input(label, 'deg', 0, 80);

export const GROOVE_CALCULATIONS = [
  calculation({
    ...SHARED,
    name: 'groove-compound',
    title: 'Compound bevel: area, fill and what is left',
    formula:
      'A(h) = ∫ w dh; w = gap, from the root face + 2·Δh·tan α₁, from the knee + 2·Δh·tan α₂; cap = ⅔ · h · (w + 2 · overlap)',
    provenBy: 'the example bevel at five wall thicknesses, to 1 % (derived)',
    inputs: {
      ...common,
      lowerAngle: angle('lower bevel angle'),
      lowerHeight: input('height of the lower bevel', 'mm', 0, 50, ['[in_i]']),
      upperAngle: angle('upper bevel angle'),
    },
    compute: v =>
      filling(
        compoundGroove({
          wallMm: v.wall,
          gapMm: v.gap,
          rootFaceMm: v.rootFace,
          lowerAngleDegrees: v.lowerAngle,
          lowerHeightMm: v.lowerHeight,
          upperAngleDegrees: v.upperAngle,
        }),
        v,
      ),
  }),
  calculation({
    ...SHARED,
    name: 'groove-v',
    title: 'V bevel: area, fill and what is left',
    formula: 'A = gap · t + (t − face)² · tan α; cap = ⅔ · h · (w + 2 · overlap)',
    provenBy: 'the closed form (derived)',
    inputs: { ...common, angle: angle('bevel angle') },
    compute: v =>
      filling(vGroove({ wallMm: v.wall, gapMm: v.gap, rootFaceMm: v.rootFace, angleDegrees: v.angle }), v),
  }),
  calculation({
    ...SHARED,
    name: 'groove-j',
    title: 'J bevel: area, fill and what is left',
    formula:
      'root face, arc of radius r tangent to it, then the bevel angle tangent to the arc; cap = ⅔ · h · (w + 2 · overlap)',
    provenBy: 'the closed form of arc and bevel, to 0.01 % (derived)',
    inputs: {
      ...common,
      radius: inputAbove('root radius', 'mm', 0, 30, ['[in_i]']),
      angle: angle('bevel angle'),
    },
    compute: v =>
      filling(
        jGroove({
          wallMm: v.wall,
          gapMm: v.gap,
          rootFaceMm: v.rootFace,
          radiusMm: v.radius,
          angleDegrees: v.angle,
        }),
        v,
      ),
  }),
];
