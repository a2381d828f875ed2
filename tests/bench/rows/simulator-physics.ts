/**
 * The simulator's rigs against figures from outside: burn-off of the literature, remembered settings of a steel wire, the
 * consistent points of the example passes, and the metal they lay against the groove it goes into.
 */
import { capAreaMm2, compoundGroove } from '#core/metal/bevels';
import { depositAreaMm2 } from '#core/metal/deposit';
import { grooveAreaMm2, widthAt } from '#core/metal/groove';
import type { SetPoint } from '../../../simulator/rig/set-point.ts';
import { EXAMPLE_PASSES } from '../../../simulator/scenario/example-passes.ts';
import { FILL, weldSteadily } from '../../unit/simulator/steady-rig.ts';
import type { Benchmark, CountTable, Figure } from '../harness/figure.ts';

const ID = 'SIM';
const MM_PER_INCH = 25.4;
const percent = (is: number, reference: number): number => (is / reference - 1) * 100;
const signed = (value: number): string => `${value >= 0 ? '+' : '−'}${Math.abs(value).toFixed(1)} %`;

interface Row {
  readonly what: string;
  readonly unit: string;
  readonly reference: number;
  readonly simulated: number;
  /** Of the reference, %; how well it is known itself. */
  readonly within: number;
  readonly source: string;
}

const burning = (change: Partial<SetPoint>): number =>
  weldSteadily({ setPoint: { ...FILL, oscillationWidthMm: 0, ...change } }).truth('currentA');

/** The 1.2 mm example of the pulsed-arc literature and spray settings of a steel wire: both from memory. */
function literature(): Row[] {
  const lesnewich: Row = {
    what: '1.2 mm, 15 mm, 7.31 m/min',
    unit: 'A',
    reference: 250,
    // MR = 0.3·I + 5e-5·L·I²: 121.875 mm/s at 250 A.
    simulated: burning({ wireDiameterMm: 1.2, ctwdMm: 15, wireFeedMmS: 121.875, tipVoltageV: 26 }),
    within: 1,
    source: 'literature relation (after Lesnewich, Welding Journal 1958), coefficients from memory',
  };
  const sheet = (inch: number, feeds: readonly number[], amps: readonly number[], within: number): Row[] =>
    feeds.map((feed, i) => ({
      what: `${(inch * MM_PER_INCH).toFixed(2)} mm, spray, ${((feed * MM_PER_INCH) / 1000).toFixed(1)} m/min`,
      unit: 'A',
      reference: amps[i]!,
      simulated: burning({
        wireDiameterMm: inch * MM_PER_INCH,
        ctwdMm: 12.7,
        wireFeedMmS: (feed * MM_PER_INCH) / 60,
        tipVoltageV: 28,
      }),
      within,
      source: 'data sheet of a steel wire, from memory, ± 10 %; tip to work assumed 12.7 mm',
    }));
  return [
    lesnewich,
    ...sheet(0.045, [350, 475, 500], [285, 335, 340], 10),
    ...sheet(0.035, [375, 500, 600], [195, 230, 275], 15),
  ];
}

/** Current, arc energy (mean U × mean I / travel) and deposit of the example points: 1.0 mm wire, efficiency 0.96. */
const POINTS = [
  { pass: 'root', amps: 180, energy: 0.305, area: 7.5 },
  { pass: 'hot', amps: 255, energy: 0.35, area: 8.2 },
  { pass: 'fill 1', amps: 236, energy: 0.755, area: 17.2 },
  { pass: 'cap', amps: 185, energy: 0.706, area: 16.8 },
] as const;

function points(): { readonly rows: Row[]; readonly layersMm2: number } {
  const source = 'consistent points of the example passes (derived by the same relations: self-consistency)';
  let layersMm2 = 0;
  const rows = POINTS.flatMap(({ pass, amps, energy, area }): Row[] => {
    const setPoint = EXAMPLE_PASSES.find(({ name }) => name === pass)!;
    const welded = weldSteadily({ setPoint });
    const travel = welded.truth('travelMmS');
    const deposit = depositAreaMm2({
      wireFeedMmPerS: welded.truth('feedMmS'),
      travelMmPerS: travel,
      diameterMm: setPoint.wireDiameterMm,
    });
    if (deposit.kind !== 'value') throw new Error(`no deposit of ${pass}`);
    layersMm2 += deposit.value * (pass === 'fill 1' ? 3 : 1);
    const common = { within: 1.5, source };
    return [
      {
        ...common,
        what: `${pass}, current`,
        unit: 'A',
        reference: amps,
        simulated: welded.truth('currentA'),
      },
      {
        ...common,
        what: `${pass}, arc energy`,
        unit: 'kJ/mm',
        reference: energy,
        simulated: (welded.truth('voltageV') * welded.truth('currentA')) / travel / 1000,
      },
      { ...common, what: `${pass}, deposit`, unit: 'mm²', reference: area, simulated: deposit.value },
    ];
  });
  return { rows, layersMm2 };
}

/** Compound bevel of a 15.9 mm wall with a cap 1.5 mm high and 1.5 mm over each edge, by geometry. */
function groove(): number {
  const bevel = compoundGroove({
    wallMm: 15.9,
    gapMm: 0,
    rootFaceMm: 1.3,
    lowerAngleDegrees: 45,
    lowerHeightMm: 2.3,
    upperAngleDegrees: 5,
  });
  if (bevel.kind === 'invalid') throw new Error(bevel.text);
  const cap = { grooveWidthMm: widthAt(bevel.groove, 15.9), overlapMm: 1.5, reinforcementMm: 1.5 };
  return grooveAreaMm2(bevel.groove) + capAreaMm2(cap);
}

function figure(what: string, rows: readonly Row[], goal: string): Figure {
  const off = rows.map(({ simulated, reference }) => percent(simulated, reference));
  const met = rows.every(({ within }, i) => Math.abs(off[i]!) <= within);
  return {
    id: ID,
    what,
    goal,
    ratio: null,
    subject: `${signed(Math.min(...off))} to ${signed(Math.max(...off))}`,
    baseline: 'reference',
    verdict: met ? 'met' : 'missed',
  };
}

function tableOf(rows: readonly Row[]): CountTable {
  const digits = (value: number): string => value.toFixed(value < 10 ? (value < 1 ? 3 : 1) : 1);
  return {
    caption: `${ID}, the simulated rig against figures from outside.`,
    head: ['what', 'reference', 'simulated', 'off', 'source of the reference'],
    rows: rows.map(({ what, unit, reference, simulated, source }) => [
      what,
      `${digits(reference)} ${unit}`,
      `${digits(simulated)} ${unit}`,
      signed(percent(simulated, reference)),
      source,
    ]),
  };
}

export const simulatorPhysics: Benchmark = {
  id: ID,
  title: 'the simulator against figures from outside',
  how: 'A simulated rig welds steadily for 8 s at each set-point; means of what truly flowed. Current against the burn-off relation of the literature for 1.2 mm wire and against spray settings of a steel wire (both from memory, the latter ± 10 %); current, arc energy and deposit against the consistent points of the example passes; the metal of root, hot, three fills and cap against the groove of a 15.9 mm wall with its cap, by geometry. Nothing is timed. What it cannot show: no measured weld of these passes is at hand, so absolute currents are known to 10–15 % only.',
  run: async () => {
    const read = literature();
    const [first, ...sheet] = read;
    const { rows, layersMm2 } = points();
    const filled: Row = {
      what: 'six layers, deposit',
      unit: 'mm²',
      reference: groove(),
      simulated: layersMm2,
      within: 3,
      source: 'compound bevel and cap, by geometry',
    };
    return [
      {
        ...figure('current, burn-off of the literature, 1.2 mm', [first!], '± 1 %'),
        table: tableOf([...read, ...rows, filled]),
      },
      figure('current, spray settings of a steel wire, 0.89 and 1.14 mm', sheet, '± 10 % (0.89 mm: 15 %)'),
      figure('current, arc energy and deposit of the example points', rows, '± 1.5 %'),
      figure('metal of six layers against the groove it fills', [filled], '± 3 %'),
    ];
  },
};
