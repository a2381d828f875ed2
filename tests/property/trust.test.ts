/**
 * What the rules do with a few dozen simulated passes, seeds fixed: coarse bounds of the figures in docs/trust.md.
 * The simulator's physics are checked against published values in tests/unit/simulator; how good passes differ is
 * chosen (common practice, no source).
 */
import { resolve } from 'node:path';
import { beforeAll, expect, test } from 'vitest';
import { CAUSES } from '#core/drift/looks-like-parts';
import { exampleProcedure } from '../support/simulated-pass.ts';
import { calibrate } from '../support/trust/calibrate.ts';
import { goodSpread } from '../support/trust/reference-windows.ts';
import type { Trial } from '../support/trust/trial.ts';
import { TRUST_FAULTS } from '../support/trust/trust-faults.ts';
import { type Known, pairKey, sizeKey, TrustWorker } from '../support/trust/trust-jobs.ts';
import { announced } from '../support/trust/trust-summary.ts';

const RIG = 'feed at the motor';
/** The quickest to weld. */
const PASS = 'hot';
const STICK_OUT = TRUST_FAULTS.find(({ id }) => id === 'stick-out longer')!;

const worker = new TrustWorker(exampleProcedure(resolve(import.meta.dirname, '../..')));
const numbers = (n: number): number[] => Array.from({ length: n }, (_, i) => i);
let known: Known;

beforeAll(() => {
  const lessons = numbers(10).map(i => worker.learn({ kind: 'learn', rig: RIG, pass: PASS, seed: 500 + i }));
  const sigma = goodSpread(lessons.flatMap(({ rows }) => (rows.length > 1 ? [rows] : []))).sigma[0]!;
  known = {
    lessons: { [pairKey(RIG, PASS)]: lessons },
    sizes: { [sizeKey(STICK_OUT.id, PASS)]: calibrate(STICK_OUT, PASS, sigma) },
  };
});

const stickOut = (seed: number): Trial =>
  worker.trial({ kind: 'fault', fault: STICK_OUT.id, severity: 'severe', rig: RIG, pass: PASS, seed }, known);

test('a severe stick-out is a few mm: its size is found by measuring', () => {
  const { size, sigmas } = known.sizes[sizeKey(STICK_OUT.id, PASS)]!.severe;
  expect(sigmas).toBeLessThan(-7.5);
  expect(sigmas).toBeGreaterThan(-8.5);
  // −8.3 % of current at +4 mm, −11.6 % at +6 (burn-off line); windows of a few good passes spread by 0.6–1.5 %.
  expect(size).toBeGreaterThan(2);
  expect(size).toBeLessThan(7);
});

test('twenty good passes, with restarts among them: nothing is announced', () => {
  const good = numbers(20).map(i =>
    worker.trial({ kind: 'good', rig: RIG, pass: PASS, seed: 900 + i }, known),
  );
  expect(good.filter(({ restartMm }) => restartMm !== null).length).toBeGreaterThan(0);
  const calls = good.flatMap(({ seed, calls }) => calls.filter(announced).map(call => ({ seed, ...call })));
  expect(calls).toEqual([]);
});

test('a severe stick-out is called within 75 mm, with stick-out or slip among what it looks like', () => {
  for (const seed of numbers(6)) {
    const trial = stickOut(700 + seed);
    const call = trial.calls.find(one => one.rule === 'drifting' && one.atMm >= trial.onsetMm!);
    expect(call, `seed ${700 + seed}`).toBeDefined();
    expect(call!.atMm - trial.onsetMm!).toBeLessThan(75);
    const causes: readonly string[] = [CAUSES.stickOutLonger, CAUSES.slipAtMotor];
    expect(call!.causes.some(cause => causes.includes(cause))).toBe(true);
  }
});

test('a slow stick-out is called before the current leaves its range', () => {
  for (const seed of numbers(4)) {
    const trial = worker.trial(
      { kind: 'ramp', ramp: 'stick-out', rig: RIG, pass: PASS, seed: 800 + seed },
      known,
    );
    const out = trial.calls.find(({ rule }) => rule === 'outOfRange');
    const call = trial.calls.find(
      one => announced(one) && one.rule !== 'outOfRange' && one.atMm >= trial.onsetMm!,
    );
    expect(out?.quantity).toBe('weldingCurrent');
    expect(call!.atS).toBeLessThan(out!.sinceS!);
  }
});

test('the same seed gives the same calls', () => {
  expect(stickOut(701)).toEqual(stickOut(701));
});
