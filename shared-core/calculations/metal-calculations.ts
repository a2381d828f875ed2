import { burnOffCurrent, burnOffFeed, burnOffOf, stickOutIndex } from '../metal/burn-off.ts';
import { depositAreaMm2, filletAreaMm2, layerHeightMm, weighedDepositionRate } from '../metal/deposit.ts';
import { gasUseL } from '../metal/gas.ts';
import { spoolState } from '../metal/spool.ts';
import { depositionRateKgPerH, STEEL_DENSITY_KG_PER_MM3, wireLengthMm, wireMassKg } from '../metal/wire.ts';
import { calculation } from './calculation.ts';
import { CAUTION, INPUT, input, inputAbove, named } from './common-inputs.ts';

const HANDBOOK = 'MIG welding handbook table of wire length per mass (± 1.5 %)';
const BURN_OFF_SOURCE =
  'Lesnewich, Welding Journal 1958 (form); coefficients typical of the pulsed-MIG literature, from memory, order of magnitude only';
const MASS_OUT = { label: 'mass of wire', unit: 'kg', also: ['[lb_av]'] } as const;

export const METAL_CALCULATIONS = [
  calculation({
    name: 'deposit-area',
    group: 'Metal and wire',
    title: 'Deposit area of a pass',
    formula: 'A = f · (π · d² / 4) · η / v',
    source: 'volume balance of wire and weld; ASME IX QW-409.1(b)',
    validity: 'steady feed and travel; deposition efficiency 0.92–0.99 for solid wire',
    provenBy: 'the example points, to 1 % (derived)',
    caution: null,
    inputs: {
      wireFeedSpeed: INPUT.wireFeed,
      travelSpeed: INPUT.travel,
      wireDiameter: INPUT.wireDiameter,
      efficiency: INPUT.efficiency,
    },
    outputs: { area: { label: 'deposit area', unit: 'mm2' } },
    compute: v =>
      named(
        'area',
        depositAreaMm2({
          wireFeedMmPerS: v.wireFeedSpeed,
          travelMmPerS: v.travelSpeed,
          diameterMm: v.wireDiameter,
          efficiency: v.efficiency,
        }),
      ),
  }),
  calculation({
    name: 'layer-height',
    group: 'Metal and wire',
    title: 'Height of a layer',
    formula: 'h = A / w',
    source: 'geometry',
    validity: 'groove width at that height; the groove calculations follow a whole bevel',
    provenBy: 'geometry (derived)',
    caution: null,
    inputs: {
      area: INPUT.depositArea,
      width: inputAbove('groove width at that height', 'mm', 0, 200, ['[in_i]']),
    },
    outputs: { height: { label: 'layer height', unit: 'mm', also: ['[in_i]'] } },
    compute: v => named('height', layerHeightMm(v.area, v.width)),
  }),
  calculation({
    name: 'wire-mass',
    group: 'Metal and wire',
    title: 'Mass of a length of wire',
    formula: 'm = L · π · d² / 4 · 7.85 g/cm³',
    source: 'geometry; density of plain steel',
    validity: 'solid steel wire',
    provenBy: HANDBOOK,
    caution: null,
    inputs: {
      length: inputAbove('length of wire', 'mm', 0, 1e10, ['m', '[ft_i]']),
      wireDiameter: INPUT.wireDiameter,
    },
    outputs: { mass: MASS_OUT },
    compute: v => ({ kind: 'value', value: { mass: wireMassKg(v.length, v.wireDiameter) } }),
  }),
  calculation({
    name: 'wire-length',
    group: 'Metal and wire',
    title: 'Length of wire in a mass',
    formula: 'L = m / (π · d² / 4 · 7.85 g/cm³)',
    source: 'geometry; density of plain steel',
    validity: 'solid steel wire',
    provenBy: HANDBOOK,
    caution: null,
    inputs: { mass: input('mass of wire', 'kg', 0, 1000, ['[lb_av]']), wireDiameter: INPUT.wireDiameter },
    outputs: { length: { label: 'length of wire', unit: 'm', also: ['[ft_i]'] } },
    compute: v => {
      const answer = wireLengthMm(v.mass, v.wireDiameter);
      return answer.kind === 'value' ? { kind: 'value', value: { length: answer.value / 1000 } } : answer;
    },
  }),
  calculation({
    name: 'deposition-rate',
    group: 'Metal and wire',
    title: 'Deposition rate',
    formula: 'm = f · π · d² / 4 · 7.85 g/cm³ · η; with η = 1 the melt-off rate',
    source: 'MIG welding handbook: feed × 60 / length per mass, × efficiency',
    validity: 'while the arc burns',
    provenBy: 'handbook formula and table; a published 7.96 lb/h example',
    caution: null,
    inputs: {
      wireFeedSpeed: INPUT.wireFeed,
      wireDiameter: INPUT.wireDiameter,
      efficiency: INPUT.efficiency,
    },
    outputs: { rate: { label: 'deposition rate', unit: 'kg/h', also: ['[lb_av]/h'] } },
    compute: v =>
      named(
        'rate',
        depositionRateKgPerH({
          wireFeedMmPerS: v.wireFeedSpeed,
          diameterMm: v.wireDiameter,
          efficiency: v.efficiency,
        }),
      ),
  }),
  calculation({
    name: 'weighed-deposition-rate',
    group: 'Metal and wire',
    title: 'Deposition rate of a weighed plate',
    formula: 'm / t',
    source: 'technical data sheet, weighed-plate method',
    validity: 'plate weighed cold before and after, slag off',
    provenBy: '95 g in 60 s = 5.7 kg/h (published)',
    caution: 'The plate is hot.',
    inputs: {
      mass: input('mass deposited', 'kg', 0, 100, ['g', '[lb_av]']),
      time: inputAbove('arc time', 's', 0, 1e6, ['min']),
    },
    outputs: { rate: { label: 'deposition rate', unit: 'kg/h', also: ['[lb_av]/h'] } },
    compute: v => named('rate', weighedDepositionRate(v.mass, v.time)),
  }),
  calculation({
    name: 'fillet-mass',
    group: 'Metal and wire',
    title: 'Mass of a fillet weld per length',
    formula: 'm/L = leg² / 2 · ρ',
    source: 'geometry; filler metal data handbook',
    validity: 'equal legs, flat face, no root penetration',
    provenBy: '1/2 in fillet = 0.424 lb/ft (published)',
    caution: null,
    inputs: {
      leg: inputAbove('leg length', 'mm', 0, 100, ['[in_i]']),
      density: {
        ...inputAbove('density', 'kg/mm3', 0, 3e-5, ['g/mL', '[lb_av]/[in_i]3']),
        fallback: STEEL_DENSITY_KG_PER_MM3,
      },
    },
    outputs: { mass: { label: 'mass per length', unit: 'kg/m', also: ['[lb_av]/[ft_i]'] } },
    compute: v => ({ kind: 'value', value: { mass: filletAreaMm2(v.leg) * v.density * 1000 } }),
  }),
  calculation({
    name: 'spool-left',
    group: 'Metal and wire',
    title: 'Wire left on a spool',
    formula:
      'left = start − used · π · d² / 4 · 7.85 g/cm³; time = left / rate; joints = left / wire a joint, rounded down',
    source: 'wire geometry',
    validity: 'the start mass is that of the wire, without the spool',
    provenBy: `${HANDBOOK}; spool arithmetic derived`,
    caution: 'Changing a spool: power off, and keep clear of the spring of the wire.',
    inputs: {
      start: input('wire on the spool at the start', 'kg', 0, 500, ['[lb_av]']),
      used: input('wire fed since', 'mm', 0, 1e9, ['m', '[ft_i]']),
      wireDiameter: INPUT.wireDiameter,
      wireFeedSpeed: INPUT.wireFeed,
      perJoint: { ...inputAbove('wire one joint takes', 'kg', 0, 100, ['[lb_av]']), optional: true },
    },
    outputs: {
      left: { label: 'wire left', unit: 'kg', also: ['[lb_av]'] },
      arcTime: { label: 'arc time to the next spool change', unit: 'min' },
      joints: { label: 'whole joints left', unit: '1', stepped: true },
    },
    compute: v => {
      const answer = spoolState({
        startKg: v.start,
        usedMm: v.used,
        diameterMm: v.wireDiameter,
        wireFeedMmPerS: v.wireFeedSpeed,
        perJointKg: v.perJoint,
      });
      if (answer.kind === 'outOfRange') return answer;
      const { leftKg, arcTimeLeftS, jointsLeft } = answer.value;
      return {
        kind: 'value',
        value: {
          left: leftKg,
          arcTime: arcTimeLeftS === null ? null : arcTimeLeftS / 60,
          joints: jointsLeft,
        },
      };
    },
  }),
  calculation({
    name: 'gas-use',
    group: 'Metal and wire',
    title: 'Shielding gas used',
    formula: 'V = flow · (arc time + starts · gas before and after)',
    source: 'flow × time',
    validity: 'flow as read at the torch; leaks not counted',
    provenBy: 'no published value (derived)',
    caution: CAUTION.cylinders,
    inputs: {
      flow: input('gas flow', 'L/min', 0, 200, ['[cft_i]/h']),
      arcTime: INPUT.arcTime,
      starts: { ...input('starts', '1', 0, 10_000), fallback: 1 },
      beforeAndAfter: { ...input('gas before and after each arc', 's', 0, 120), fallback: 0 },
    },
    outputs: { gas: { label: 'gas used', unit: 'L', also: ['[cft_i]'] } },
    compute: v =>
      named(
        'gas',
        gasUseL({
          flowLPerMin: v.flow,
          arcTimeS: v.arcTime,
          starts: v.starts,
          beforeAndAfterS: v.beforeAndAfter,
        }),
      ),
  }),
  calculation({
    name: 'burn-off-feed',
    group: 'Metal and wire',
    title: 'Wire feed that a current melts',
    formula: 'f = α · I + β · L · I²; α 0.30 · (1.2/d)², β 5e-5 · (1.2/d)⁴',
    source: BURN_OFF_SOURCE,
    validity:
      'solid steel wire 0.8–1.6 mm, electrode positive; order of magnitude, for comparing, not for setting a rig',
    provenBy: 'the example points, to 1 % (derived); coefficients from memory',
    caution: CAUTION.notAcceptance,
    inputs: {
      current: INPUT.current,
      tipDistance: INPUT.tipDistance,
      wireDiameter: { ...INPUT.wireDiameter, range: { min: 0.8, max: 1.6 } },
    },
    outputs: { wireFeedSpeed: { label: 'wire feed speed', unit: 'mm/s', also: ['m/min', '[in_i]/min'] } },
    compute: v => ({
      kind: 'value',
      value: { wireFeedSpeed: burnOffFeed(burnOffOf(v.wireDiameter), v.current, v.tipDistance) },
    }),
  }),
  calculation({
    name: 'burn-off-current',
    group: 'Metal and wire',
    title: 'Current that melts a wire feed',
    formula: 'I = 2 · f / (α + √(α² + 4 · β · L · f))',
    source: BURN_OFF_SOURCE,
    validity: 'as burn-off-feed',
    provenBy: 'the example points, to 1 % (derived); coefficients from memory',
    caution: CAUTION.notAcceptance,
    inputs: {
      wireFeedSpeed: INPUT.wireFeed,
      tipDistance: INPUT.tipDistance,
      wireDiameter: { ...INPUT.wireDiameter, range: { min: 0.8, max: 1.6 } },
    },
    outputs: { current: { label: 'welding current', unit: 'A' } },
    compute: v => ({
      kind: 'value',
      value: { current: burnOffCurrent(burnOffOf(v.wireDiameter), v.wireFeedSpeed, v.tipDistance) },
    }),
  }),
  calculation({
    name: 'stick-out-index',
    group: 'Metal and wire',
    title: 'Current against the burn-off line',
    formula: 'r = I / I_line(f, L) − 1; implied distance (f − α · I) / (β · I²)',
    source: BURN_OFF_SOURCE,
    validity: 'changes against good welds of the same rig and pass; one value alone means little',
    provenBy: 'fault signatures at 236 A, 12 mm (derived)',
    caution: CAUTION.sign,
    inputs: {
      wireFeedSpeed: INPUT.wireFeed,
      current: inputAbove('welding current', 'A', 0, 2000),
      tipDistance: INPUT.tipDistance,
      wireDiameter: { ...INPUT.wireDiameter, range: { min: 0.8, max: 1.6 } },
    },
    outputs: {
      residual: { label: 'current against the line', unit: '%' },
      implied: { label: 'distance that would explain it', unit: 'mm', also: ['[in_i]'] },
    },
    compute: v => {
      const answer = stickOutIndex({
        wireFeedMmPerS: v.wireFeedSpeed,
        currentA: v.current,
        contactTipToWorkMm: v.tipDistance,
        wireDiameterMm: v.wireDiameter,
      });
      if (answer.kind === 'outOfRange') return answer;
      return {
        kind: 'value',
        value: { residual: answer.value.currentResidual * 100, implied: answer.value.impliedMm },
      };
    },
  }),
];
