import { expect, test } from 'vitest';
import type { Answer } from '#core/calculations/answer';
import { atReferenceRadius, measuredSpeed, runTimeFor, type TimedRun } from '#core/checks/timed-run';
import { VALIDATION_INTERVAL_MONTHS, VALIDATION_LIMITS_FROM_MEMORY } from '#core/checks/validation-defaults';
import { verificationResult, verifyMeter, verifySpeed } from '#core/checks/verification';
import { convert } from '#core/units/ucum';

const result = <T>(answer: Answer<T>): T => {
  if (answer.kind !== 'value') throw new Error(answer.text);
  return answer.value;
};
const exact = { value: 0, kind: 'limits' } as const;
const run = (distanceMm: number, timeS: number, tape = 0, watch = 0): TimedRun => ({
  distanceMm,
  timeS,
  tapeMm: { value: tape, kind: 'limits' },
  stopwatchS: { value: watch, kind: 'limits' },
});

// Trade practice, 60 / run time; 6 s × 10 and 15 s × 4 from memory (common practice, no source).
test.each([
  [6, 10],
  [10, 6],
  [15, 4],
  [30, 2],
])('a run of %i s is multiplied by %i (common practice, no source)', (seconds, multiplier) => {
  expect(result(measuredSpeed(run(100, seconds))).multiplierPerMinute).toBe(multiplier);
});

// Derived vectors.
test('travel and wire runs, mm and inches (derived)', () => {
  const perMinute = (r: TimedRun): number => convert(result(measuredSpeed(r)).speedMmPerS, 'mm/s', 'mm/min');
  expect(perMinute(run(95, 15))).toBeCloseTo(380, 9);
  expect(perMinute(run(convert(3.75, '[in_i]', 'mm'), 15))).toBeCloseTo(381, 9);
  expect(convert(perMinute(run(convert(25, '[in_i]', 'mm'), 6)), 'mm/min', '[in_i]/min')).toBeCloseTo(250, 9);
  expect(convert(perMinute(run(635, 6)), 'mm/min', '[in_i]/min')).toBeCloseTo(250, 9);
});

test('error budget: ± 0.2 s is 1.33 % of 15 s and 3.33 % of 6 s; ± 1 mm in 95 mm 1.05 % (derived)', () => {
  // Limits ± a, so U = 2·a/√3.
  const widen = 2 / Math.sqrt(3);
  expect(result(measuredSpeed(run(95, 15, 0, 0.2))).expandedRelative / widen).toBeCloseTo(0.0133, 4);
  expect(result(measuredSpeed(run(635, 6, 0, 0.2))).expandedRelative / widen).toBeCloseTo(0.0333, 4);
  expect(result(measuredSpeed(run(95, 15, 1, 0))).expandedRelative / widen).toBeCloseTo(0.0105, 4);
  expect(result(measuredSpeed(run(635, 6, 25.4 / 16, 0))).expandedRelative / widen).toBeCloseTo(0.0025, 4);
  const standard = measuredSpeed({ ...run(100, 10), stopwatchS: { value: 0.1, kind: 'standard' } });
  expect(result(standard).expandedRelative).toBeCloseTo(0.02, 12);
});

test('pass only when the uncertainty leaves room, fail only when it cannot explain the error', () => {
  expect(verificationResult(0.01, 0.01, 0.02)).toBe('pass');
  expect(verificationResult(-0.01, 0.011, 0.02)).toBe('notShown');
  expect(verificationResult(-0.04, 0.011, 0.02)).toBe('fail');
  expect(verificationResult(0.025, 0.01, 0.02)).toBe('notShown');
});

test('6 s by hand cannot show 2 %: the proposed run makes U half the limit', () => {
  const short = result(
    verifySpeed({ run: run(1027, 6, 1, 0.2), displayedMmPerS: 171.17, procedureMmPerS: 171.17 }),
  );
  expect(short.result).toBe('notShown');
  expect(short.expandedRelative).toBeGreaterThan(0.033);
  const seconds = short.proposedRunS!;
  const longer = run(171.17 * seconds, seconds, 1, 0.2);
  expect(result(measuredSpeed(longer)).expandedRelative).toBeLessThanOrEqual(0.01);
  expect(
    result(measuredSpeed(run(171.17 * (seconds - 1), seconds - 1, 1, 0.2))).expandedRelative,
  ).toBeGreaterThan(0.01);
  expect(verifySpeed({ run: longer, displayedMmPerS: 171.17, procedureMmPerS: null })).toMatchObject({
    value: { result: 'pass', proposedRunS: null, againstProcedure: null },
  });
});

test('travel reading 4 % high fails, and the factor says what it should read', () => {
  const check = result(
    verifySpeed({ run: run(450, 60, 1, 0.2), displayedMmPerS: 7.8, procedureMmPerS: 7.5 }),
  );
  expect(check).toMatchObject({ result: 'fail', measuredMmPerS: 7.5, againstProcedure: 0 });
  expect(check.error).toBeCloseTo(0.04, 12);
  expect(7.8 * check.correctionFactor).toBeCloseTo(7.5, 12);
});

test('an error on the limit cannot be decided by any run of an hour', () => {
  const check = verifySpeed({ run: run(7500, 1000, 1, 0.2), displayedMmPerS: 7.65, procedureMmPerS: null });
  expect(check).toMatchObject({ value: { result: 'notShown', proposedRunS: null } });
});

test('tape on the pipe or on the band (geometry)', () => {
  const radii = { outsideDiameterMm: 610, bandRadiusMm: 325, referenceRadiusMm: 325 };
  expect(atReferenceRadius(7.5, 'band', radii)).toBe(7.5);
  expect(atReferenceRadius(7.5, 'pipe', radii)).toBeCloseTo((7.5 * 325) / 305, 12);
});

test('run time for a target uncertainty', () => {
  expect(runTimeFor(0.01, 7.5, exact, { value: 0.1, kind: 'standard' })).toBeCloseTo(20, 12);
});

test('a reference meter (GUM 5.1.6)', () => {
  const meter = { displayed: 24.6, reference: 24, referenceRelative: 0.003, readingRelative: 0.004 };
  expect(result(verifyMeter(meter))).toEqual({
    error: expect.closeTo(0.025, 9),
    expandedRelative: expect.closeTo(0.01, 9),
    result: 'notShown',
    correctionFactor: 24 / 24.6,
  });
  expect(result(verifyMeter({ ...meter, limit: 0.05 })).result).toBe('pass');
  expect(result(verifyMeter({ ...meter, displayed: 25 })).result).toBe('fail');
  expect(result(verifyMeter({ ...meter, displayed: 24, referenceRelative: null }))).toMatchObject({
    expandedRelative: null,
    result: 'notShown',
  });
});

test('bad runs are named', () => {
  expect(measuredSpeed(run(0, 15))).toMatchObject({ name: 'distance' });
  expect(measuredSpeed(run(-5, 15))).toMatchObject({ name: 'distance' });
  expect(measuredSpeed(run(95, 0))).toMatchObject({ text: 'run time 0 s is out of range: 1 to 3600 s' });
  expect(measuredSpeed(run(Number.NaN, 15))).toMatchObject({ text: 'distance is not a finite number' });
  expect(verifySpeed({ run: run(95, 15), displayedMmPerS: 0, procedureMmPerS: null })).toMatchObject({
    name: 'displayed speed',
  });
});

// Public course notes "Calibration" (TWI, after BS 7570), section 3.
test('validation intervals: standard 12 months, precision 6, first consistency test 3', () => {
  expect(VALIDATION_INTERVAL_MONTHS).toEqual({ standard: 12, precision: 6, firstConsistencyTest: 3 });
});

// BS 7570:2000 / EN 50504:2008 / IEC 60974-14:2018 as remembered: FROM MEMORY, low confidence, so only that they are what was remembered.
test('starting limits of a validation are those remembered (from memory)', () => {
  expect(VALIDATION_LIMITS_FROM_MEMORY.precision.current).toEqual({ from: 0.4, ofTrue: 0.025, ofMax: 0.01 });
  expect(VALIDATION_LIMITS_FROM_MEMORY.standard.voltage.ofTrue).toBe(0.1);
});
