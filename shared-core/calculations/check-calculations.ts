import { atReferenceRadius, runTimeFor, type TimedRun } from '../checks/timed-run.ts';
import { type VerificationResult, verifyMeter, verifySpeed } from '../checks/verification.ts';
import { type Calculation, calculation } from './calculation.ts';
import { CAUTION, INPUT, input, inputAbove } from './common-inputs.ts';

const RESULT: Record<VerificationResult, string> = {
  pass: 'pass',
  fail: 'fail',
  notShown: 'not shown: run longer',
};

const run = {
  distance: inputAbove('length measured', 'mm', 0, 1e6, ['m', '[in_i]']),
  time: inputAbove('run time', 's', 0, 86_400),
  displayed: inputAbove('displayed speed', 'mm/s', 0, 1000, ['mm/min', 'm/min', '[in_i]/min']),
  procedure: {
    ...inputAbove('speed of the procedure', 'mm/s', 0, 1000, ['mm/min', 'm/min', '[in_i]/min']),
    optional: true,
  },
  tape: { ...input('tape, limits ±', 'mm', 0, 100, ['[in_i]']), fallback: 1 },
  stopwatch: { ...input('stopwatch, limits ±', 's', 0, 10), fallback: 0.2 },
  limit: { ...inputAbove('limit of the check ±', '%', 0, 50), fallback: 2 },
} as const;

const outputs = {
  measured: { label: 'measured speed', unit: 'mm/s', also: ['mm/min', 'm/min', '[in_i]/min'] },
  error: { label: 'display against measurement', unit: '%' },
  againstProcedure: { label: 'measurement against procedure', unit: '%' },
  uncertainty: { label: 'expanded uncertainty (k = 2)', unit: '%' },
  result: { label: 'result', unit: null },
  factor: { label: 'correction factor (never applied by itself)', unit: '1' },
  proposedTime: { label: 'run time that would decide it', unit: 's', stepped: true },
} as const;

interface RunValues {
  readonly distance: number;
  readonly time: number;
  readonly displayed: number;
  readonly procedure: number | null;
  readonly tape: number;
  readonly stopwatch: number;
  readonly limit: number;
}

function check(v: RunValues, referenceFactor: number) {
  const timed: TimedRun = {
    distanceMm: v.distance,
    timeS: v.time,
    tapeMm: { value: v.tape, kind: 'limits' },
    stopwatchS: { value: v.stopwatch, kind: 'limits' },
  };
  const answer = verifySpeed({
    run: timed,
    referenceFactor,
    displayedMmPerS: v.displayed,
    procedureMmPerS: v.procedure,
    limit: v.limit / 100,
  });
  if (answer.kind === 'outOfRange') return answer;
  const found = answer.value;
  return {
    kind: 'value',
    value: {
      measured: found.measuredMmPerS,
      error: found.error * 100,
      againstProcedure: found.againstProcedure === null ? null : found.againstProcedure * 100,
      uncertainty: found.expandedRelative * 100,
      result: RESULT[found.result],
      factor: found.correctionFactor,
      proposedTime: found.proposedRunS,
    },
  } as const;
}

const TIMED = {
  group: 'Checks before the arc',
  source:
    'length × 60/t per minute (common practice, no source); uncertainty GUM (JCGM 100) 5.1.6; pass when |error| + U ≤ limit, fail when |error| − U > limit',
  validity: 'run of 1 s to 1 h; the limit is yours (2 % from memory)',
  provenBy: 'derived vectors (95 mm in 15 s = 380 mm/min; 25 in in 6 s = 250 in/min) and error budgets',
  outputs,
} as const;

export const CHECK_CALCULATIONS = [
  calculation({
    ...TIMED,
    name: 'travel-check',
    title: 'Travel check: a timed, measured run',
    formula:
      'v = s / t (15 s × 4), on the pipe × r_reference / (D/2); error = displayed / v − 1; U = 2·√((u_tape/s)² + (u_time/t)²)',
    caution: CAUTION.movingCarriage,
    inputs: {
      ...run,
      tapeOn: { kind: 'choice', label: 'where the tape lay', choices: ['band', 'pipe'], fallback: 'band' },
      outsideDiameter: { ...INPUT.outsideDiameter, optional: true },
      referenceRadius: { ...inputAbove('reference radius', 'mm', 0, 3000, ['[in_i]']), optional: true },
    },
    compute: v => {
      if (v.tapeOn === 'band') return check(v, 1);
      if (v.outsideDiameter === null || v.referenceRadius === null) {
        return {
          kind: 'invalid',
          text: 'a tape on the pipe needs outsideDiameter and referenceRadius, to compare with travel on the band',
        };
      }
      return check(
        v,
        atReferenceRadius(1, 'pipe', {
          outsideDiameterMm: v.outsideDiameter,
          bandRadiusMm: v.referenceRadius,
          referenceRadiusMm: v.referenceRadius,
        }),
      );
    },
  }),
  calculation({
    ...TIMED,
    name: 'wire-check',
    title: 'Wire feed check: a timed, measured length',
    formula: 'f = L / t (6 s × 10); error = displayed / f − 1; U = 2·√((u_tape/L)² + (u_time/t)²)',
    caution: CAUTION.feedingWire,
    inputs: run,
    compute: v => check(v, 1),
  }),
  calculation({
    name: 'run-time',
    group: 'Checks before the arc',
    title: 'How long a check must run',
    formula: 't = 2 · √((u_tape/v)² + u_time²) / U_wanted, u = limits/√3',
    source: 'GUM (JCGM 100) 5.1.6 and 4.3.7',
    validity: 'constant speed',
    provenBy: 'turns back into the uncertainty it was asked for (derived)',
    caution: CAUTION.movingCarriage,
    inputs: {
      speed: inputAbove('speed', 'mm/s', 0, 1000, ['mm/min', 'm/min', '[in_i]/min']),
      wanted: { ...inputAbove('uncertainty wanted ±', '%', 0, 50), fallback: 1 },
      tape: run.tape,
      stopwatch: run.stopwatch,
    },
    outputs: {
      time: { label: 'run time, at least', unit: 's' },
      distance: { label: 'length that is', unit: 'mm', also: ['m', '[in_i]'] },
    },
    compute: v => {
      const time = runTimeFor(
        v.wanted / 100,
        v.speed,
        { value: v.tape, kind: 'limits' },
        { value: v.stopwatch, kind: 'limits' },
      );
      return { kind: 'value', value: { time, distance: time * v.speed } };
    },
  }),
  meterCheck('current-check', 'Current against a reference meter', 'A', 2000),
  meterCheck('voltage-check', 'Voltage against a reference meter', 'V', 200),
];

function meterCheck(name: string, title: string, unit: string, max: number): Calculation {
  return calculation({
    name,
    group: 'Checks before the arc',
    title,
    formula: 'error = displayed / reference − 1; U = 2·√(u_meter² + u_reading²)',
    source: 'GUM (JCGM 100) 5.1.6; validation as in ISO 17662',
    validity: 'both read at the same moment and the same place; the limit is yours (2 % from memory)',
    provenBy: 'worked by hand (derived)',
    caution: CAUTION.liveCircuit,
    inputs: {
      displayed: inputAbove('displayed value', unit, 0, max),
      reference: inputAbove('reference meter', unit, 0, max),
      meterUncertainty: { ...input('standard uncertainty of the meter', '%', 0, 50), optional: true },
      readingUncertainty: {
        ...input('standard uncertainty of reading a live value', '%', 0, 50),
        fallback: 0.5,
      },
      limit: run.limit,
    },
    outputs: {
      error: outputs.error,
      uncertainty: outputs.uncertainty,
      result: outputs.result,
      factor: outputs.factor,
    },
    compute: v => {
      const answer = verifyMeter({
        displayed: v.displayed,
        reference: v.reference,
        referenceRelative: v.meterUncertainty === null ? null : v.meterUncertainty / 100,
        readingRelative: v.readingUncertainty / 100,
        limit: v.limit / 100,
      });
      if (answer.kind === 'outOfRange') return answer;
      const { error, expandedRelative, result, correctionFactor } = answer.value;
      return {
        kind: 'value',
        value: {
          error: error * 100,
          uncertainty: expandedRelative === null ? null : expandedRelative * 100,
          result: result === 'notShown' ? 'not shown: uncertainty too large or unknown' : RESULT[result],
          factor: correctionFactor,
        },
      };
    },
  });
}
