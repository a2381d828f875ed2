import { type Answer, outOfRange, POSITIVE, type Range, value } from '../calculations/answer.ts';
import { combinedRelative, expanded } from '../statistics/uncertainty.ts';
import { measuredSpeed, RUN_TIME_S, runTimeFor, type TimedRun } from './timed-run.ts';

/** Default limit of a verification, as a share. From memory, and the user's to set. */
export const DEFAULT_VERIFICATION_LIMIT = 0.02;
const LIMIT: Range = { min: 0, max: 0.5, above: true };

/** pass: |error| + U ≤ limit · fail: |error| − U > limit · notShown: between, the measurement cannot tell. */
export type VerificationResult = 'pass' | 'fail' | 'notShown';

/** Source of the rule: guarded acceptance and rejection as in ISO 14253-1 (from memory). */
export function verificationResult(
  error: number,
  expandedUncertainty: number,
  limit: number,
): VerificationResult {
  const size = Math.abs(error);
  if (size + expandedUncertainty <= limit) return 'pass';
  return size - expandedUncertainty > limit ? 'fail' : 'notShown';
}

export interface SpeedVerification {
  readonly measuredMmPerS: number;
  /** (displayed − measured)/measured, as a share: + reads high. */
  readonly error: number;
  /** (measured − procedure)/procedure, as a share; null without a procedure value. */
  readonly againstProcedure: number | null;
  /** Expanded (k = 2), as a share. */
  readonly expandedRelative: number;
  readonly result: VerificationResult;
  /** What a displayed value is multiplied by to give the measured one; stored and shown, never applied by itself. */
  readonly correctionFactor: number;
  /** Run time that would decide it, whole seconds; null when decided, or when no run of up to an hour would. */
  readonly proposedRunS: number | null;
}

/**
 * A displayed travel or wire feed speed held against a timed run. Units mm/s. Errors: out of range unless speeds, time and distance
 * are positive and 0 < limit ≤ 0.5.
 */
export function verifySpeed(input: {
  readonly run: TimedRun;
  /** measured → the reading's own reference, where the tape lay elsewhere (atReferenceRadius); 1 unless given. */
  readonly referenceFactor?: number;
  readonly displayedMmPerS: number;
  readonly procedureMmPerS: number | null;
  readonly limit?: number;
}): Answer<SpeedVerification> {
  const { run, displayedMmPerS, procedureMmPerS, referenceFactor = 1 } = input;
  const limit = input.limit ?? DEFAULT_VERIFICATION_LIMIT;
  const wrong = outOfRange(
    ['displayed speed', displayedMmPerS, 'mm/s', POSITIVE],
    ['procedure speed', procedureMmPerS ?? 1, 'mm/s', POSITIVE],
    ['reference factor', referenceFactor, '1', { min: 0.2, max: 5 }],
    ['limit', limit, '1', LIMIT],
  );
  if (wrong !== null) return wrong;
  const measured = measuredSpeed(run);
  if (measured.kind === 'outOfRange') return measured;
  const measuredMmPerS = measured.value.speedMmPerS * referenceFactor;
  const { expandedRelative } = measured.value;
  const error = displayedMmPerS / measuredMmPerS - 1;
  const result = verificationResult(error, expandedRelative, limit);
  return value({
    measuredMmPerS,
    error,
    againstProcedure: procedureMmPerS === null ? null : measuredMmPerS / procedureMmPerS - 1,
    expandedRelative,
    result,
    correctionFactor: measuredMmPerS / displayedMmPerS,
    proposedRunS:
      result === 'notShown'
        ? proposedRun(run, measured.value.speedMmPerS, expandedRelative, error, limit)
        : null,
  });
}

/** First make U at most half the limit; if it is already, small enough to tell this error from the limit. */
function proposedRun(
  run: TimedRun,
  speedMmPerS: number,
  expandedRelative: number,
  error: number,
  limit: number,
): number | null {
  const target = expandedRelative > limit / 2 ? limit / 2 : Math.abs(Math.abs(error) - limit);
  const seconds = Math.ceil(runTimeFor(target, speedMmPerS, run.tapeMm, run.stopwatchS));
  return seconds <= RUN_TIME_S.max ? Math.max(seconds, Math.ceil(run.timeS)) : null;
}

export interface MeterVerification {
  /** (displayed − reference)/reference, as a share. */
  readonly error: number;
  /** Expanded (k = 2), as a share; null when the reference's uncertainty is not known. */
  readonly expandedRelative: number | null;
  readonly result: VerificationResult;
  readonly correctionFactor: number;
}

/**
 * A displayed current or voltage held against a reference meter. `referenceRelative` and `readingRelative` are standard (k = 1) relative
 * uncertainties of the meter and of reading a live value; unknown makes the result not shown. Source: GUM 5.1.6; the occasion is
 * validation as in ISO 17662. Errors: out of range unless both readings are positive and 0 < limit ≤ 0.5.
 */
export function verifyMeter(input: {
  readonly displayed: number;
  readonly reference: number;
  readonly referenceRelative: number | null;
  readonly readingRelative: number | null;
  readonly limit?: number;
}): Answer<MeterVerification> {
  const limit = input.limit ?? DEFAULT_VERIFICATION_LIMIT;
  const wrong = outOfRange(
    ['displayed value', input.displayed, '1', POSITIVE],
    ['reference value', input.reference, '1', POSITIVE],
    ['uncertainty of the reference', input.referenceRelative ?? 0, '1', { min: 0, max: 0.5 }],
    ['uncertainty of the reading', input.readingRelative ?? 0, '1', { min: 0, max: 0.5 }],
    ['limit', limit, '1', LIMIT],
  );
  if (wrong !== null) return wrong;
  const error = input.displayed / input.reference - 1;
  const expandedRelative = expanded(
    combinedRelative([{ relative: input.referenceRelative }, { relative: input.readingRelative }]),
  );
  return value({
    error,
    expandedRelative,
    result: expandedRelative === null ? 'notShown' : verificationResult(error, expandedRelative, limit),
    correctionFactor: input.reference / input.displayed,
  });
}
