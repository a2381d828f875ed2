import { circumferentialPosition, travelAtWeld } from '../position/circumferential-position.ts';
import { clockText } from '../position/clock-position.ts';
import { closure } from '../position/closure.ts';
import { calculation } from './calculation.ts';
import { CAUTION, INPUT, input, inputAbove } from './common-inputs.ts';

const SIDE = { kind: 'choice', label: 'side', choices: ['A', 'B'] } as const;
const FINDING = {
  closed: 'closed',
  look: 'worth a look',
  suspect: 'suspect encoder, slip or radius',
} as const;

export const POSITION_CALCULATIONS = [
  calculation({
    name: 'position',
    group: 'Position',
    title: 'Clock position of a place on a side',
    formula: 'θ = θ_start + σ · 360 · s / (π · D); clock = θ / 30; σ +1 side B, −1 side A',
    source: 'geometry; clockwise looking downstream, 12 at the top (common practice, no source)',
    validity: 'length measured on the outside of the pipe',
    provenBy: 'geometry: one millimetre, one hour of the clock and the quarter points (derived)',
    caution: null,
    inputs: {
      side: SIDE,
      along: input('length from the side’s start', 'mm', -20_000, 20_000, ['[in_i]']),
      start: { ...input('start of the side, clockwise from the top', 'deg', -360, 360), fallback: 0 },
      outsideDiameter: INPUT.outsideDiameter,
    },
    outputs: {
      clock: { label: 'clock position', unit: null },
      degrees: { label: 'angle from the top', unit: 'deg' },
      circumferential: { label: 'length from the top, clockwise', unit: 'mm', also: ['[in_i]'] },
    },
    compute: v => {
      const at = circumferentialPosition({
        alongMm: v.along,
        side: v.side,
        startDegrees: v.start,
        outsideDiameterMm: v.outsideDiameter,
      });
      return {
        kind: 'value',
        value: { clock: clockText(at.clock), degrees: at.degrees, circumferential: at.circumferentialMm },
      };
    },
  }),
  calculation({
    name: 'travel-at-weld',
    group: 'Position',
    title: 'Travel at the weld from travel on the band',
    formula: 'v_weld = v · (D / 2) / r_reference',
    source: 'geometry',
    validity: 'reference radius is where the rig’s travel is reported',
    provenBy: 'a band 20 mm off the surface on three diameters (derived)',
    caution: CAUTION.notAcceptance,
    inputs: {
      travelSpeed: INPUT.travel,
      outsideDiameter: INPUT.outsideDiameter,
      referenceRadius: inputAbove('reference radius', 'mm', 0, 3000, ['[in_i]']),
    },
    outputs: {
      travelAtWeld: { label: 'travel at the weld', unit: 'mm/s', also: ['mm/min', '[in_i]/min'] },
      overReading: { label: 'reported travel is high by', unit: '%' },
    },
    compute: v => {
      const at = travelAtWeld(v.travelSpeed, v.outsideDiameter / 2, v.referenceRadius);
      return { kind: 'value', value: { travelAtWeld: at, overReading: (v.travelSpeed / at - 1) * 100 } };
    },
  }),
  calculation({
    name: 'closure',
    group: 'Position',
    title: 'Closure of a pass',
    formula: 'ε = (s_A + s_B − overlaps − π · D) / (π · D); U = √((2 · u_travel)² + (20 mm / (π · D))²)',
    source: 'geometry; GUM (JCGM 100); thresholds common practice, no source',
    validity: 'both sides complete, gaps bridged; look at |ε| > max(1 %, U), suspect > max(3 %, 1.5 · U)',
    provenBy: 'geometry (derived)',
    caution: 'Closed does not mean sound: only that the lengths agree.',
    inputs: {
      sideA: input('run-out length of side A', 'mm', 0, 20_000, ['[in_i]']),
      sideB: input('run-out length of side B', 'mm', 0, 20_000, ['[in_i]']),
      overlaps: { ...input('overlaps at 12 and 6 o’clock together', 'mm', 0, 1000, ['[in_i]']), fallback: 0 },
      outsideDiameter: INPUT.outsideDiameter,
      travelUncertainty: INPUT.travelUncertainty,
    },
    outputs: {
      error: { label: 'closure error', unit: '%' },
      errorLength: { label: 'closure error, length', unit: 'mm', also: ['[in_i]'] },
      uncertainty: { label: 'expanded uncertainty (k = 2)', unit: '%' },
      finding: { label: 'finding', unit: null },
    },
    compute: v => {
      const answer = closure({
        sideAMm: v.sideA,
        sideBMm: v.sideB,
        overlapsMm: v.overlaps,
        outsideDiameterMm: v.outsideDiameter,
        travelRelative: v.travelUncertainty / 100,
      });
      if (answer.kind === 'outOfRange') return answer;
      const { error, errorMm, uncertainty, finding } = answer.value;
      return {
        kind: 'value',
        value: {
          error: error * 100,
          errorLength: errorMm,
          uncertainty: uncertainty * 100,
          finding: FINDING[finding],
        },
      };
    },
  }),
];
