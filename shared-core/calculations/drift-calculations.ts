import { cusumRunLength } from '../drift/cusum-run-length.ts';
import { ewmaRunLength } from '../drift/ewma-run-length.ts';
import { falseCalls } from '../drift/false-calls.ts';
import { tSquaredLimit, tSquaredLimitKnown } from '../drift/hotelling.ts';
import { outOfRange } from './answer.ts';
import { calculation } from './calculation.ts';
import { input, inputAbove, named } from './common-inputs.ts';

const INDEPENDENT = 'independent normal values: autocorrelated windows give more false calls than it says';
const shift = { ...input('shift of the mean, in standard deviations', '1', -10, 10), fallback: 0 } as const;

export const DRIFT_CALCULATIONS = [
  calculation({
    name: 'cusum-run-length',
    group: 'Drift',
    title: 'Average run length of a two-sided CUSUM',
    formula: 'L(z) = 1 + L(0)·Φ(k − z − δ) + ∫₀ʰ L(x)·φ(x + k − z − δ) dx; 1/L = 1/L⁺ + 1/L⁻',
    source: 'Page, Biometrika 1954; Lucas & Crosier, Technometrics 1982',
    validity: `0 ≤ k ≤ 10, 0 < h ≤ 30, run up to 10¹²; ${INDEPENDENT}`,
    provenBy: 'Lucas & Crosier 1982 Table 1; Vance 1986; printed eight-digit values; simulation',
    caution: null,
    inputs: {
      k: { ...input('reference value k', '1', 0, 10), fallback: 1 },
      h: { ...inputAbove('decision interval h', '1', 0, 30), fallback: 5 },
      shift,
      headStart: { ...input('head start', '1', 0, 30), fallback: 0 },
    },
    outputs: { runLength: { label: 'windows until a call, on average', unit: '1' } },
    compute: v =>
      named('runLength', cusumRunLength({ k: v.k, h: v.h, shift: v.shift, headStart: v.headStart })),
  }),
  calculation({
    name: 'ewma-run-length',
    group: 'Drift',
    title: 'Average run length of an EWMA',
    formula: 'L(u) = 1 + (1/λ)·∫ L(x)·φ((x − (1 − λ)·u)/λ − δ) dx over ± L·√(λ/(2 − λ))',
    source: 'Crowder, Technometrics 1987',
    validity: `0.01 ≤ λ ≤ 1, 0 < L ≤ 6, settled limits; ${INDEPENDENT}`,
    provenBy: 'Lucas & Saccucci 1990 Table 3; Crowder 1987 Table 1; a printed eleven-digit value; simulation',
    caution: null,
    inputs: {
      lambda: { ...inputAbove('weight λ', '1', 0, 1), fallback: 0.2 },
      width: { ...inputAbove('width L', '1', 0, 6), fallback: 3 },
      shift,
    },
    outputs: { runLength: { label: 'windows until a call, on average', unit: '1' } },
    compute: v => named('runLength', ewmaRunLength({ lambda: v.lambda, width: v.width, shift: v.shift })),
  }),
  calculation({
    name: 'false-calls',
    group: 'Drift',
    title: 'How often a good pass is called falsely',
    formula: 'p = 1 − exp(−windows · channels / ARL₀)',
    source: 'geometric run length (Montgomery, Statistical Quality Control 9.1)',
    validity: `long run lengths; ${INDEPENDENT}`,
    provenBy: 'derived',
    caution: null,
    inputs: {
      runLength: inputAbove('average run length with no shift', '1', 0, 1e12),
      windows: inputAbove('windows in a pass', '1', 0, 1e6),
      channels: { ...inputAbove('channels watched', '1', 0, 100), fallback: 5 },
    },
    outputs: {
      share: { label: 'good passes called falsely', unit: '%' },
      onePassIn: { label: 'one false call in passes', unit: '1' },
    },
    compute: v => {
      const answer = falseCalls({
        runLengthInControl: v.runLength,
        windowsPerPass: v.windows,
        channels: v.channels,
      });
      if (answer.kind === 'outOfRange') return answer;
      return {
        kind: 'value',
        value: { share: answer.value.perPass * 100, onePassIn: answer.value.onePassIn },
      };
    },
  }),
  calculation({
    name: 't-squared-limit',
    group: 'Drift',
    title: 'Limit of Hotelling’s T²',
    formula: 'known: χ²(p); learned from n windows: p(n + 1)(n − 1)/(n(n − p)) · F(p, n − p)',
    source: 'Johnson & Wichern, Applied Multivariate Statistical Analysis 5.6',
    validity: 'normal windows; n at least p + 2',
    provenBy: 'forty measured automatic welds (Johnson & Wichern Example 5.11)',
    caution: null,
    inputs: {
      channels: input('channels p', '1', 1, 20),
      windows: input('windows learned from n', '1', 3, 1e6),
      confidence: { ...input('share of good windows below it', '%', 50, 99.99), fallback: 99 },
    },
    outputs: {
      known: { label: 'limit, baseline known', unit: '1' },
      learned: { label: 'limit, baseline learned', unit: '1' },
    },
    compute: v => {
      const p = Math.round(v.channels);
      const n = Math.round(v.windows);
      const wrong = outOfRange(['windows learned from', n, '1', { min: p + 2, max: 1e6 }]);
      if (wrong !== null) return wrong;
      return {
        kind: 'value',
        value: {
          known: tSquaredLimitKnown(p, v.confidence / 100),
          learned: tSquaredLimit({ channels: p, count: n }, v.confidence / 100),
        },
      };
    },
  }),
];
