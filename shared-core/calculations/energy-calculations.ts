import {
  arcEnergyFromEnergy,
  arcEnergyFromMeans,
  arcEnergyFromPower,
  beadLengthPerWire,
} from '../energy/arc-energy.ts';
import { DEFAULT_THERMAL_EFFICIENCY, heatInput, THERMAL_EFFICIENCY } from '../energy/heat-input.ts';
import { leadDrop } from '../energy/lead-drop.ts';
import { heatingEnergyJPerMm3, meltedArea } from '../energy/melting.ts';
import { arcTimeFor, operatingFactor } from '../energy/operating-factor.ts';
import { calculation } from './calculation.ts';
import { CAUTION, INPUT, input, inputAbove, named } from './common-inputs.ts';

const ARC_ENERGY_OUT = {
  arcEnergy: { label: 'arc energy', unit: 'kJ/mm', also: ['kJ/[in_i]'] },
} as const;
const POSITIVE_TRAVEL =
  'travel above 0; for the run as a whole: total energy over total length, not the mean of windows';

export const ENERGY_CALCULATIONS = [
  calculation({
    name: 'arc-energy-means',
    group: 'Energy and time',
    title: 'Arc energy from mean values (method A)',
    formula: 'E = U · I / (1000 · v)',
    source: 'ISO/TR 18491 method A; ASME IX QW-409.1(a). American codes call it heat input.',
    validity: `${POSITIVE_TRAVEL}; not for waveform-controlled welding, where it can be 30 % wrong either way`,
    provenBy: 'five published worked examples (29 V, 325 A, 12.5 in/min = 45.24 kJ/in and others)',
    caution: CAUTION.notAcceptance,
    inputs: { voltage: INPUT.voltage, current: INPUT.current, travelSpeed: INPUT.travel },
    outputs: ARC_ENERGY_OUT,
    compute: v =>
      named(
        'arcEnergy',
        arcEnergyFromMeans({ voltageV: v.voltage, currentA: v.current, travelMmPerS: v.travelSpeed }),
      ),
  }),
  calculation({
    name: 'arc-energy-total',
    group: 'Energy and time',
    title: 'Arc energy from measured energy (method B)',
    formula: 'E = IE / (1000 · L), IE = Σ u · i · Δt',
    source: 'ISO/TR 18491 method B; ASME IX QW-409.1(c)',
    validity:
      'run-out length above 0; the energy is that of the samples, about 10 000 a second on pulsed arcs',
    provenBy: 'the printed QW-409.1(c) form; closed-form waveforms (derived)',
    caution: CAUTION.notAcceptance,
    inputs: {
      energy: input('arc energy of the run', 'J', 0, 1e10, ['kJ', 'MJ']),
      length: INPUT.length,
    },
    outputs: ARC_ENERGY_OUT,
    compute: v => named('arcEnergy', arcEnergyFromEnergy({ energyJ: v.energy, lengthMm: v.length })),
  }),
  calculation({
    name: 'arc-energy-power',
    group: 'Energy and time',
    title: 'Arc energy from measured power (method C)',
    formula: 'E = IP / (1000 · v), IP the mean of u · i',
    source: 'ISO/TR 18491 method C; ASME IX QW-409.1(c)',
    validity: POSITIVE_TRAVEL,
    provenBy: 'the printed QW-409.1(c) form; closed-form waveforms (derived)',
    caution: CAUTION.notAcceptance,
    inputs: { power: input('instantaneous power, mean', 'W', 0, 100_000, ['kW']), travelSpeed: INPUT.travel },
    outputs: ARC_ENERGY_OUT,
    compute: v => named('arcEnergy', arcEnergyFromPower({ powerW: v.power, travelMmPerS: v.travelSpeed })),
  }),
  calculation({
    name: 'bead-length-per-wire',
    group: 'Energy and time',
    title: 'Length of bead per length of wire (bead volume form)',
    formula: 'r = v / f',
    source: 'ASME IX QW-409.1(b)',
    validity: 'wire feed above 0; compares beads of one wire diameter',
    provenBy: 'the printed QW-409.1(b) form; agrees with the deposit area of the example points',
    caution: null,
    inputs: { travelSpeed: INPUT.travel, wireFeedSpeed: INPUT.wireFeed },
    outputs: { ratio: { label: 'bead length per wire length', unit: '1' } },
    compute: v =>
      named('ratio', beadLengthPerWire({ travelMmPerS: v.travelSpeed, wireFeedMmPerS: v.wireFeedSpeed })),
  }),
  calculation({
    name: 'heat-input',
    group: 'Energy and time',
    title: 'Heat input from arc energy',
    formula: 'Q = k · E; k 1.0 (121), 0.8 (111, 131, 135, 136, 138), 0.6 (141, 15)',
    source: 'EN 1011-1 / ISO/TR 17671-1 Table 1',
    validity: '0 < k ≤ 1; for cooling time use 0.85 instead (EN 1011-2 Annex D)',
    provenBy: 'the published table of k; within 0.14 of calorimeter values (Welding Journal 1995)',
    caution: CAUTION.notAcceptance,
    inputs: {
      arcEnergy: INPUT.arcEnergy,
      process: {
        kind: 'choice',
        label: 'ISO 4063 process',
        choices: [...THERMAL_EFFICIENCY.keys()],
        fallback: '135',
      },
      thermalEfficiency: { ...INPUT.thermalEfficiency, optional: true },
    },
    outputs: {
      heatInput: { label: 'heat input', unit: 'kJ/mm', also: ['kJ/[in_i]'] },
      k: { label: 'k used', unit: '1' },
    },
    compute: v => {
      const k = v.thermalEfficiency ?? THERMAL_EFFICIENCY.get(v.process) ?? DEFAULT_THERMAL_EFFICIENCY;
      const answer = heatInput(v.arcEnergy, k);
      return answer.kind === 'value' ? { kind: 'value', value: { heatInput: answer.value, k } } : answer;
    },
  }),
  calculation({
    name: 'operating-factor',
    group: 'Energy and time',
    title: 'Operating factor',
    formula: 'arc time / elapsed time',
    source: 'the trade’s definition (common practice, no source)',
    validity: 'arc time not longer than elapsed time',
    provenBy: 'no published value',
    caution: null,
    inputs: { arcTime: INPUT.arcTime, elapsedTime: inputAbove('elapsed time', 's', 0, 1e6, ['min', 'h']) },
    outputs: { operatingFactor: { label: 'operating factor', unit: '1', also: ['%'] } },
    compute: v => named('operatingFactor', operatingFactor(v.arcTime, v.elapsedTime)),
  }),
  calculation({
    name: 'arc-time',
    group: 'Energy and time',
    title: 'Arc time for a length of weld',
    formula: 't = L / v',
    source: 'definition of speed',
    validity: 'travel above 0, no stops',
    provenBy: 'the half-circumference times of the example points (derived)',
    caution: null,
    inputs: { length: INPUT.length, travelSpeed: INPUT.travel },
    outputs: { arcTime: { label: 'arc time', unit: 's', also: ['min'] } },
    compute: v => named('arcTime', arcTimeFor(v.length, v.travelSpeed)),
  }),
  calculation({
    name: 'lead-drop',
    group: 'Energy and time',
    title: 'Voltage lost in a welding lead',
    formula: 'U = I · 0.0178 Ω·mm²/m · l / A',
    source: 'resistivity of warm copper (rounded, from memory)',
    validity: 'copper leads, both ways counted in the length',
    provenBy: '60 m of 95 mm² at 250 A = 2.8 V (derived)',
    caution: CAUTION.liveCircuit,
    inputs: {
      current: INPUT.current,
      length: input('lead length, there and back', 'm', 0, 1000, ['[ft_i]']),
      crossSection: inputAbove('lead cross-section', 'mm2', 0, 1000),
    },
    outputs: { drop: { label: 'voltage lost', unit: 'V' } },
    compute: v =>
      named('drop', leadDrop({ currentA: v.current, lengthM: v.length, crossSectionMm2: v.crossSection })),
  }),
  calculation({
    name: 'heating-energy',
    group: 'Energy and time',
    title: 'Energy to heat metal',
    formula: 'e = ρ · c · (T₂ − T₁)',
    source: 'heat capacity; latent heat neglected',
    validity: 'constant heat capacity, no melting counted',
    provenBy: 'an examination problem (answer derived)',
    caution: null,
    inputs: {
      density: inputAbove('density', 'kg/m3', 0, 25_000),
      heatCapacity: inputAbove('heat capacity', 'J/kg/K', 0, 10_000),
      from: input('start temperature', 'Cel', -60, 3000, ['[degF]']),
      to: input('end temperature', 'Cel', -60, 3500, ['[degF]']),
    },
    outputs: { energy: { label: 'energy per volume', unit: 'J/mm3' } },
    compute: v => ({
      kind: 'value',
      value: {
        energy: heatingEnergyJPerMm3({
          densityKgPerM3: v.density,
          heatCapacityJPerKgK: v.heatCapacity,
          fromCel: v.from,
          toCel: v.to,
        }),
      },
    }),
  }),
  calculation({
    name: 'melted-area',
    group: 'Energy and time',
    title: 'Area of metal the arc can melt',
    formula: 'A = η · f · U · I / (u · v)',
    source:
      'energy balance, Kalpakjian & Schmid, Manufacturing Engineering and Technology ch. 30 (from memory)',
    validity: 'an estimate: both shares are rough',
    provenBy: 'a textbook table (from memory) and an examination problem (answer derived)',
    caution: null,
    inputs: {
      voltage: INPUT.voltage,
      current: INPUT.current,
      travelSpeed: INPUT.travel,
      transferShare: inputAbove('share of power reaching the work η', '1', 0, 1, ['%']),
      meltingShare: inputAbove('share of heat that melts f', '1', 0, 1, ['%']),
      meltingEnergy: { ...inputAbove('melting energy', 'J/mm3', 0, 1000), fallback: 9.7 },
    },
    outputs: { area: { label: 'melted area', unit: 'mm2' } },
    compute: v =>
      named(
        'area',
        meltedArea({
          powerW: v.voltage * v.current,
          transferShare: v.transferShare,
          meltingShare: v.meltingShare,
          meltingEnergyJPerMm3: v.meltingEnergy,
          travelMmPerS: v.travelSpeed,
        }),
      ),
  }),
];
