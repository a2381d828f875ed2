import {
  type Composition,
  carbonEquivalentIiw,
  carbonEquivalentZ662,
  cet,
  pcm,
} from '../thermal/carbon-equivalent.ts';
import { coolingTime, SHAPE_FACTORS } from '../thermal/cooling-time.ts';
import { designCet, HYDROGEN_SCALES, preheatMethodB } from '../thermal/preheat.ts';
import { calculation, type NumberInput } from './calculation.ts';
import { CAUTION, INPUT, input, inputAbove, named } from './common-inputs.ts';

/** Content in %, plausible for steel; left out is 0, as on a certificate that does not report it. */
const element = (name: string, max: number): NumberInput & { readonly fallback: number } => ({
  ...input(`content of ${name}`, '%', 0, max),
  fallback: 0,
});
const carbon = inputAbove('content of C', '%', 0, 2);
const Si = element('Si', 10);
const Mn = element('Mn', 30);
const Cr = element('Cr', 30);
const Cu = element('Cu', 10);
const Mo = element('Mo', 10);
const Ni = element('Ni', 30);
const V = element('V', 10);
const Nb = element('Nb', 5);
const Ti = element('Ti', 5);
const B = element('B', 1);

const scales = Object.entries(HYDROGEN_SCALES)
  .map(([scale, upper]) => `${scale} ${upper}`)
  .join(', ');

const contentsOf = (values: Readonly<Record<string, number>>): Composition => values;
const CERTIFICATE = 'Use the product analysis of the pipe in hand where there is one.';
const STEEL = { group: 'Heat', caution: CERTIFICATE } as const;

export const HEAT_CALCULATIONS = [
  calculation({
    name: 'cooling-time',
    group: 'Heat',
    title: 'Cooling time from 800 to 500 °C (t8/5)',
    formula:
      'thick (6700 − 5·T0)·Q·[1/(500−T0) − 1/(800−T0)]·F3; thin (4300 − 4.3·T0)·10⁵·Q²/d²·[1/(500−T0)² − 1/(800−T0)²]·F2; the larger holds',
    source: 'EN 1011-2:2001+A1:2003 Annex D.6',
    validity:
      'unalloyed and low-alloy ferritic steel; heat input with k = 0.85 for MIG/MAG here; −50 ≤ T0 ≤ 450 °C',
    provenBy: 'the printed formulas; six sets of a public worked example (answers derived)',
    caution: CAUTION.notAcceptance,
    inputs: {
      heatInput: INPUT.heatInput,
      startTemperature: input('preheat or interpass temperature T0', 'Cel', -60, 1500, ['[degF]']),
      thickness: INPUT.wall,
      joint: {
        kind: 'choice',
        label: 'joint',
        choices: Object.keys(SHAPE_FACTORS) as (keyof typeof SHAPE_FACTORS)[],
        fallback: 'between runs in a butt weld',
      },
    },
    outputs: {
      coolingTime: { label: 'cooling time t8/5', unit: 's' },
      flow: { label: 'heat flow', unit: null },
      thick: { label: 'as thick plate', unit: 's' },
      thin: { label: 'as thin plate', unit: 's' },
      transition: { label: 'transition thickness', unit: 'mm', also: ['[in_i]'] },
    },
    compute: v => {
      const answer = coolingTime({
        heatInputKjPerMm: v.heatInput,
        startCel: v.startTemperature,
        thicknessMm: v.thickness,
        ...SHAPE_FACTORS[v.joint],
      });
      if (answer.kind === 'outOfRange') return answer;
      const { seconds, flow, thickS, thinS, transitionMm } = answer.value;
      return {
        kind: 'value',
        value: { coolingTime: seconds, flow, thick: thickS, thin: thinS, transition: transitionMm },
      };
    },
  }),
  calculation({
    ...STEEL,
    name: 'carbon-equivalent-iiw',
    title: 'Carbon equivalent CE (IIW)',
    formula: 'CE = C + Mn/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15',
    source: 'EN 1011-2 Annex C (method A)',
    validity: 'contents in % by mass',
    provenBy: 'the printed formula, element by element',
    inputs: { C: carbon, Mn, Cr, Mo, V, Ni, Cu },
    outputs: { ce: { label: 'CE (IIW)', unit: '%' } },
    compute: v => named('ce', carbonEquivalentIiw(contentsOf(v))),
  }),
  calculation({
    ...STEEL,
    name: 'carbon-equivalent-pcm',
    title: 'Carbon equivalent Pcm',
    formula: 'Pcm = C + Si/30 + (Mn + Cu + Cr)/20 + Ni/60 + Mo/15 + V/10 + 5·B',
    source: 'Ito & Bessyo, IIW IX-576-68',
    validity: 'C ≤ 0.18 %',
    provenBy: 'the printed formula, element by element',
    inputs: { C: carbon, Si, Mn, Cu, Cr, Ni, Mo, V, B },
    outputs: { pcm: { label: 'Pcm', unit: '%' } },
    compute: v => named('pcm', pcm(contentsOf(v))),
  }),
  calculation({
    ...STEEL,
    name: 'carbon-equivalent-cet',
    title: 'Carbon equivalent CET',
    formula: 'CET = C + (Mn + Mo)/10 + (Cr + Cu)/20 + Ni/40',
    source: 'EN 1011-2 Annex C.3 (method B)',
    validity:
      'C 0.05–0.32, Si ≤ 0.8, Mn 0.5–1.9, Cr ≤ 1.5, Cu ≤ 0.7, Mo ≤ 0.75, Nb ≤ 0.06, Ni ≤ 2.5, Ti ≤ 0.12, V ≤ 0.18, B ≤ 0.005 %',
    provenBy: 'the printed formula, element by element',
    inputs: { C: carbon, Mn, Mo, Cr, Cu, Ni, Si, Nb, Ti, V, B },
    outputs: { cet: { label: 'CET', unit: '%' } },
    compute: v => named('cet', cet(contentsOf(v))),
  }),
  calculation({
    ...STEEL,
    name: 'carbon-equivalent-z662',
    title: 'Carbon equivalent of CSA Z662',
    formula: 'CE = C + f·(Mn/6 + Si/24 + Cu/15 + Ni/20 + (Cr + Mo + V + Nb)/5 + 5·B)',
    source: 'CSA Z662; f is the standard’s compliance factor for the carbon content, given by you',
    validity: '0 < f ≤ 1',
    provenBy: 'a published worked sheet (0.5078)',
    inputs: {
      C: carbon,
      Mn,
      Si,
      Cu,
      Ni,
      Cr,
      Mo,
      V,
      Nb,
      B,
      complianceFactor: inputAbove('compliance factor f', '1', 0, 1),
    },
    outputs: { ce: { label: 'CE (Z662)', unit: '%' } },
    compute: ({ complianceFactor, ...contents }) =>
      named('ce', carbonEquivalentZ662(contentsOf(contents), complianceFactor)),
  }),
  calculation({
    name: 'preheat',
    group: 'Heat',
    title: 'Preheat temperature by method B',
    formula:
      'Tp = 697·CET + 160·tanh(d/35) + 62·HD^0.35 + (53·CET − 32)·Q − 328; CET is the weld metal’s + 0.03 unless the pipe’s is at least 0.03 above it',
    source: 'EN 1011-2:2001+A1:2003 Annex C.3, Eq. (C.8)',
    validity:
      'CET 0.2–0.5 %, d 10–90 mm, HD 1–20 ml/100 g, Q 0.5–4.0 kJ/mm, ReH ≤ 1000 N/mm²; many girth passes are below 0.5 kJ/mm and then it has no answer',
    provenBy: 'the printed formula and its four parts; two worked examples (answers derived)',
    caution: CAUTION.hotPipe,
    inputs: {
      cet: inputAbove('CET of the pipe', '%', 0, 2),
      weldCet: { ...inputAbove('CET of the weld metal', '%', 0, 2), optional: true },
      thickness: INPUT.wall,
      hydrogen: inputAbove(`diffusible hydrogen (scales up to: ${scales})`, 'mL/hg', 0, 100),
      heatInput: INPUT.heatInput,
    },
    outputs: { preheat: { label: 'preheat temperature, at least', unit: 'Cel', also: ['[degF]'] } },
    compute: v =>
      named(
        'preheat',
        preheatMethodB({
          cetPercent: v.weldCet === null ? v.cet : designCet(v.cet, v.weldCet),
          thicknessMm: v.thickness,
          hydrogenMlPer100g: v.hydrogen,
          heatInputKjPerMm: v.heatInput,
        }),
      ),
  }),
];
