import type { Answer } from '#core/calculations/answer';
import { atReferenceRadius } from '#core/checks/timed-run';
import { type SpeedVerification, verifySpeed } from '#core/checks/verification';
import type { Check } from '#core/journal/rig-entries';
import { convert } from '#core/units/ucum';
import { typedNumber } from '../../text/typed-number.ts';
import type { CheckSettings } from './check-settings.ts';
import { typedLengthMm } from './typed-length.ts';

export type RunCheck = 'travel' | 'wireFeed';
/** UCUM codes a rig shows its speeds in. */
export const SPEED_UNITS = {
  travel: ['mm/s', 'mm/min', 'cm/min', '[in_i]/min'],
  wireFeed: ['m/min', 'mm/s', '[in_i]/min'],
} as const satisfies Record<RunCheck, readonly string[]>;

/** The form as typed: texts, so that nothing half-entered is lost. */
export interface TimedRunForm extends CheckSettings {
  readonly state: 'asFound' | 'asLeft';
  readonly tapeOn: 'pipe' | 'band';
  /** In the length unit chosen. */
  readonly outsideDiameter: string;
  /** Band surface above the pipe, in the length unit chosen. */
  readonly bandHeight: string;
  readonly runS: string;
  readonly measured: string;
  readonly shown: string;
  readonly shownUnit: string;
  /** What the edge saw of this run, mm/s. */
  readonly edgeMmPerS: number | null;
}

/** What the page knows of the rig beside the form. */
export interface RigFacts {
  readonly referenceRadiusMm: number | null;
  readonly correctionFactor: number | null;
  readonly procedureMmPerS: number | null;
}

export type RunField =
  | 'outsideDiameter'
  | 'bandHeight'
  | 'runS'
  | 'measured'
  | 'shown'
  | 'tape'
  | 'stopwatchS'
  | 'limitPercent'
  | 'validHours';

export const positive = (typed: string, max: number): number | null => {
  const found = typedNumber(typed);
  return found !== null && found > 0 && found <= max ? found : null;
};
export const notNegative = (typed: string, max: number): number | null => {
  const found = typedNumber(typed);
  return found !== null && found >= 0 && found <= max ? found : null;
};

/** Radii of a complete form; without a reference radius reported travel is taken as travel at the pipe. */
function radiiOf(form: TimedRunForm, facts: RigFacts) {
  const pipeRadiusMm = (typedLengthMm(form.outsideDiameter, form.lengthUnit) ?? Number.NaN) / 2;
  const bandRadiusMm = pipeRadiusMm + (typedLengthMm(form.bandHeight, form.lengthUnit) ?? Number.NaN);
  return {
    outsideDiameterMm: pipeRadiusMm * 2,
    bandRadiusMm,
    referenceRadiusMm: facts.referenceRadiusMm ?? pipeRadiusMm,
    tapeRadiusMm: form.tapeOn === 'pipe' ? pipeRadiusMm : bandRadiusMm,
  };
}

/** True when where the tape lay changes the result, so that the diameter has to be known. */
export const needsDiameter = (check: RunCheck, form: TimedRunForm, facts: RigFacts): boolean =>
  check === 'travel' && !(form.tapeOn === 'pipe' && facts.referenceRadiusMm === null);

/** Fields that keep a result from being computed, in the order of the page. */
export function missingRunFields(check: RunCheck, form: TimedRunForm, facts: RigFacts): RunField[] {
  const missing: RunField[] = [];
  if (needsDiameter(check, form, facts)) {
    const outside = typedLengthMm(form.outsideDiameter, form.lengthUnit);
    if (outside === null || outside < 20 || outside > 5000) missing.push('outsideDiameter');
    const height = typedLengthMm(form.bandHeight, form.lengthUnit);
    if (form.tapeOn === 'band' && (height === null || height < 0 || height > 300)) missing.push('bandHeight');
  }
  const runS = typedNumber(form.runS);
  if (runS === null || runS < 1 || runS > 3600) missing.push('runS');
  const measured = typedLengthMm(form.measured, form.lengthUnit);
  if (measured === null || measured <= 0 || measured > 100_000) missing.push('measured');
  if (positive(form.shown, 100_000) === null) missing.push('shown');
  const tape = typedLengthMm(form.lengthUnit === 'mm' ? form.tapeMm : form.tapeIn, form.lengthUnit);
  if (tape === null || tape < 0 || tape > 100) missing.push('tape');
  if (notNegative(form.stopwatchS, 10) === null) missing.push('stopwatchS');
  if (positive(form.limitPercent, 50) === null) missing.push('limitPercent');
  if (positive(form.validHours, 100_000) === null) missing.push('validHours');
  return missing;
}

/** Further off than any rig is, and near enough to be the same reading in another unit; shares. */
const SLIP = { off: 0.3, near: 0.15 } as const;

/** The unit in which what was typed would agree with the tape, where in the one chosen it is far off; else null. */
export function likelierUnit(
  check: RunCheck,
  form: TimedRunForm,
  { shown, check: { shownMmPerS } }: RunResult,
) {
  if (Math.abs(shown.error) < SLIP.off) return null;
  const typed = convert(shownMmPerS, 'mm/s', form.shownUnit);
  const fits = (unit: string): boolean =>
    Math.abs(convert(typed, unit, 'mm/s') / shown.measuredMmPerS - 1) < SLIP.near;
  return SPEED_UNITS[check].find(fits) ?? null;
}

export interface RunResult {
  readonly check: Extract<Check, { check: RunCheck }>;
  /** Of the value shown. */
  readonly shown: SpeedVerification;
  /** Of the edge's own value; null where it did not see the run. */
  readonly edge: SpeedVerification | null;
  /** What the channel is multiplied by to read as measured: by the edge's value where there is one. */
  readonly newFactor: number;
}

/** The result of a complete form. Errors: as verifySpeed, one sentence naming the input. */
export function runResult(check: RunCheck, form: TimedRunForm, facts: RigFacts): Answer<RunResult> {
  const { lengthUnit } = form;
  const mm = (typed: string): number => typedLengthMm(typed, lengthUnit) ?? Number.NaN;
  const radii = needsDiameter(check, form, facts) ? radiiOf(form, facts) : null;
  const run = {
    distanceMm: mm(form.measured),
    timeS: typedNumber(form.runS) ?? Number.NaN,
    tapeMm: { value: mm(lengthUnit === 'mm' ? form.tapeMm : form.tapeIn), kind: 'limits' },
    stopwatchS: { value: typedNumber(form.stopwatchS) ?? Number.NaN, kind: 'limits' },
  } as const;
  const shownMmPerS = convert(typedNumber(form.shown) ?? Number.NaN, form.shownUnit, 'mm/s');
  const correction = facts.correctionFactor ?? 1;
  const limitPercent = typedNumber(form.limitPercent) ?? Number.NaN;
  const verify = (rawMmPerS: number): Answer<SpeedVerification> =>
    verifySpeed({
      run,
      referenceFactor: radii === null ? 1 : atReferenceRadius(1, form.tapeOn, radii),
      displayedMmPerS: rawMmPerS * correction,
      procedureMmPerS: facts.procedureMmPerS,
      limit: limitPercent / 100,
    });
  const shown = verify(shownMmPerS);
  if (shown.kind === 'outOfRange') return shown;
  const edge = form.edgeMmPerS === null ? null : verify(form.edgeMmPerS);
  if (edge?.kind === 'outOfRange') return edge;
  const { measuredMmPerS, error, expandedRelative, result } = shown.value;
  const common = {
    runS: run.timeS,
    measuredMm: run.distanceMm,
    tapeUncertaintyMm: run.tapeMm.value,
    stopwatchUncertaintyS: run.stopwatchS.value,
    shownMmPerS,
    edgeMmPerS: form.edgeMmPerS,
    measuredMmPerS,
    ...(facts.correctionFactor === null ? {} : { correctionFactor: facts.correctionFactor }),
    errorPercent: error * 100,
    expandedUncertaintyPercent: expandedRelative * 100,
    limitPercent,
    result,
    state: form.state,
  };
  return {
    kind: 'value',
    value: {
      check:
        check === 'wireFeed'
          ? { check, ...common }
          : {
              check,
              tapeOn: form.tapeOn,
              ...(radii === null
                ? {}
                : { tapeRadiusMm: radii.tapeRadiusMm, referenceRadiusMm: radii.referenceRadiusMm }),
              ...common,
            },
      shown: shown.value,
      edge: edge?.value ?? null,
      newFactor: measuredMmPerS / (form.edgeMmPerS ?? shownMmPerS),
    },
  };
}
