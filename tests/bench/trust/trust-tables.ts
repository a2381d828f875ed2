/** Tables of docs/trust.md, as rows of words. */
import { DEFAULT_DRIFT_SETTINGS } from '#core/drift/drift-settings';
import { effectOf } from '#core/drift/effect-of';
import { DRIFT_CHANNELS } from '#core/messages/drift';
import type { Measured } from '../../support/trust/measure-trust.ts';
import { MAIN_CHANNELS, WINDOW_MM } from '../../support/trust/reference-windows.ts';
import { RULES, type Rule, type Trial } from '../../support/trust/trial.ts';
import {
  SEVERITIES,
  type SeverityName,
  TRUST_FAULTS,
  type TrustFault,
} from '../../support/trust/trust-faults.ts';
import { pairKey, sizeKey } from '../../support/trust/trust-jobs.ts';
import { PASSES, RAMPS, WHOLE_MM } from '../../support/trust/trust-plan.ts';
import { type Detection, falseCallsOf, rampOf, type Share } from '../../support/trust/trust-summary.ts';
import { percent, shareText } from './trust-figures.ts';

export interface Table {
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

export const RULE_NAMES: Readonly<Record<Rule, string>> = {
  outOfRange: 'out of range',
  wrongPass: 'wrong pass',
  drifting: 'drifting',
  projected: 'projected to a limit',
  pattern: 'pattern',
  trim: 'trim (told, not announced)',
};

const MAIN_RIG = 'feed at the motor';
const faultOf = (id: string): TrustFault => TRUST_FAULTS.find(fault => fault.id === id)!;
const number = (value: number | null | undefined, digits = 0): string =>
  value === null || value === undefined || Number.isNaN(value) ? '–' : value.toFixed(digits);

/** Counts per 100 passes, with the 95 % interval. */
const per100 = (share: Share): string =>
  `${((100 * share.count) / share.of).toFixed(2)} (${(100 * share.low).toFixed(2)}–${(100 * share.high).toFixed(2)})`;

export function falseCallTable(measured: Measured): Table {
  const good = falseCallsOf(measured.trials.filter(({ kind }) => kind === 'good'));
  const rows = RULES.filter(rule => rule !== 'trim').map(rule => [
    RULE_NAMES[rule],
    String(good.byRule[rule].count),
    per100(good.byRule[rule]),
  ]);
  return {
    head: ['rule', `passes called, of ${good.passes}`, 'per 100 good passes (95 % interval)'],
    rows: [...rows, ['all rules together', String(good.any.count), per100(good.any)]],
  };
}

export function trimTable(measured: Measured): Table {
  const good = falseCallsOf(measured.trials.filter(({ kind }) => kind === 'good'));
  return {
    head: ['of the good passes', 'share (count; 95 % interval)'],
    rows: [
      ['trims of travel that were told as trims', shareText(good.trimsTold)],
      ['trims of travel that something announced as a change', shareText(good.trimsAnnounced)],
      ['passes without a trim in which one was told', shareText(good.trimsMadeUp)],
    ],
  };
}

/** What the run lengths promise beside what was measured. */
export function designTable(measured: Measured): Table {
  const good = falseCallsOf(measured.trials.filter(({ kind }) => kind === 'good'));
  const windowsPerPass = Math.floor(WHOLE_MM / WINDOW_MM);
  const effect = effectOf(DEFAULT_DRIFT_SETTINGS, {
    windowsPerPass,
    windowMm: WINDOW_MM,
    channels: DRIFT_CHANNELS.length,
  });
  const { k, h, patternConfidence } = DEFAULT_DRIFT_SETTINGS;
  const runLength = effect.cusum.windowsToFalseCall;
  return {
    head: ['rule', 'computed for independent windows', 'measured'],
    rows: [
      [
        `drifting: k ${k}, h ${h}, ${DRIFT_CHANNELS.length} channels, ${windowsPerPass} windows a pass`,
        `${runLength === null ? 'a run too long to compute' : `average run length ${runLength.toPrecision(3)} windows`}: ${effect.cusum.falseCallsPer100Passes.toFixed(2)} per 100 passes`,
        per100(good.byRule.drifting),
      ],
      [
        `pattern: ${patternConfidence} of single windows`,
        `${effect.patternFalseCallsPer100Passes.toFixed(2)} per 100 passes for one window beyond; two in a row are asked for`,
        per100(good.byRule.pattern),
      ],
    ],
  };
}

/** Why windows are not independent. */
export function correlationTable({ spreads }: Measured): Table {
  const rows = PASSES.flatMap(pass => {
    const spread = spreads[pairKey(MAIN_RIG, pass)]!;
    return MAIN_CHANNELS.map((channel, j) => {
      const value = (values: readonly number[]): string => values[j]!.toPrecision(3);
      const r = (values: readonly number[]): string => values[j]!.toFixed(2);
      return [
        pass,
        channel,
        value(spread.mean),
        value(spread.sigma),
        value(spread.between),
        value(spread.within),
        r(spread.lagOne),
        r(spread.lagOneWithin),
      ];
    });
  });
  return {
    head: [
      'pass',
      'channel',
      'mean',
      'σ of all windows',
      'of it from pass to pass',
      'of it inside a pass',
      'neighbours, all',
      'neighbours, inside a pass',
    ],
    rows,
  };
}

const LEAST_DIGITS: Readonly<Record<string, number>> = { mm: 1, '%': 1, V: 2, mΩ: 1, '% of the way': 0 };

/** Sizes over the pass types, "1.9–2.0 mm". */
function sizeText({ sizes }: Measured, fault: TrustFault, severity: SeverityName): string {
  if (fault.unit === null) return 'as it is';
  const found = PASSES.map(pass => Math.abs(sizes[sizeKey(fault.id, pass)]![severity].size));
  const digits = LEAST_DIGITS[fault.unit]!;
  const [low, high] = [Math.min(...found).toFixed(digits), Math.max(...found).toFixed(digits)];
  return `${low === high ? low : `${low}–${high}`} ${fault.unit}`;
}

function sigmaText({ sizes }: Measured, fault: TrustFault, severity: SeverityName): string {
  const found = PASSES.map(pass => Math.abs(sizes[sizeKey(fault.id, pass)]![severity].sigmas));
  const [low, high] = [Math.min(...found).toFixed(1), Math.max(...found).toFixed(1)];
  return low === high ? `${low} σ` : `${low}–${high} σ`;
}

const MAIN_NAMES: Readonly<Record<TrustFault['main'], string>> = {
  weldingCurrent: 'current',
  arcVoltage: 'voltage',
  wireFeedSpeed: 'feed',
  travelSpeed: 'travel',
  gasFlow: 'gas flow',
  currentSpread: 'unrest of the current',
};

export function detectionTable(measured: Measured, found: readonly Detection[]): Table {
  return {
    head: [
      'fault',
      'severity',
      'size',
      'main channel shifts',
      'called',
      'within 50 mm',
      'within 75 mm',
      'weld to the call, median / 90th, mm',
      'time, median / 90th, s',
      'first to speak',
    ],
    rows: found.map(one => {
      const fault = faultOf(one.fault);
      const share = ({ count, of }: Share): string => percent(count / of);
      return [
        fault.title,
        one.severity,
        sizeText(measured, fault, one.severity),
        `${MAIN_NAMES[fault.main]} ${sigmaText(measured, fault, one.severity)}`,
        `${one.called.count} of ${one.trials}`,
        share(one.within50),
        share(one.within75),
        `${number(one.medianMm)} / ${number(one.p90Mm)}`,
        `${number(one.medianS, 1)} / ${number(one.p90S, 1)}`,
        one.first.map(([rule, count]) => `${RULE_NAMES[rule].replace(/ \(.*/, '')} ${count}`).join(', ') ||
          '–',
      ];
    }),
  };
}

export function explanationTable(found: readonly Detection[]): Table {
  const signs = found.filter(({ fault }) => faultOf(fault).hasSign);
  return {
    head: ['fault', 'severity', 'explained', 'right one first', 'right one among the three'],
    rows: signs.map(one => [
      faultOf(one.fault).title,
      one.severity,
      `${one.rightFirst.of} of ${one.trials}`,
      one.rightFirst.of === 0 ? '–' : percent(one.rightFirst.count / one.rightFirst.of),
      one.rightAmong.of === 0 ? '–' : percent(one.rightAmong.count / one.rightAmong.of),
    ]),
  };
}

export function rampTable({ trials }: Measured): Table {
  return {
    head: [
      'slow change',
      'up to',
      'a limit was crossed',
      'called before',
      'weld ahead of the crossing, median, mm',
    ],
    rows: RAMPS.map(({ id, title, size, unit }) => {
      const ramp = rampOf(trials, id);
      return [
        title,
        `${size} ${unit}`,
        `${ramp.crossed} of ${ramp.trials}`,
        shareText(ramp.before),
        number(ramp.leadMm),
      ];
    }),
  };
}

/** Faults of which nothing shows, and in how many of their passes something was called all the same. */
export function unseenTable({ trials }: Measured): Table {
  const called = (of: readonly Trial[]): number =>
    of.filter(({ calls, onsetMm }) => calls.some(({ atMm }) => atMm >= onsetMm!)).length;
  return {
    head: ['fault', 'why nothing shows', 'what would tell', 'passes in which something was called'],
    rows: [
      ...TRUST_FAULTS.filter(({ hasSign }) => !hasSign).map(({ id, title }) => {
        const these = trials.filter(({ fault }) => fault === id);
        const [why, tells] = UNSEEN[id] ?? ['', ''];
        return [title, why, tells, `${called(these)} of ${these.length}`];
      }),
      [
        'wrong wire lot',
        'same diameter, same melting',
        'the lot field of the journal',
        'not simulated: no reading differs',
      ],
      [
        'interpass too cold or hot',
        'not in current, voltage, feed or travel',
        'the temperature entry',
        'not simulated',
      ],
    ],
  };
}

const UNSEEN: Readonly<Record<string, readonly [string, string]>> = {
  'bad earth source': [
    'the lead lies beyond the tap: voltage at the source stays (the short arc of a root may not bear it, which shows)',
    'a tap at the arc',
  ],
  'travel slip': ['the encoder turns with the motor', 'closure at 6 o’clock, arc time of the half joint'],
};

export const severityText = Object.entries(SEVERITIES)
  .map(([name, sigma]) => `${name} ${sigma} σ`)
  .join(', ');
