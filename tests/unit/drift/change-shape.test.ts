import { describe, expect, test } from 'vitest';
import { changeShape } from '#core/drift/change-shape';
import { OwnLevel } from '#core/drift/own-level';
import type { Step } from '#core/drift/recent-steps';
import { WeldCusum } from '#core/drift/weld-cusum';
import { normals } from '../../support/normals.ts';

const STEP_MM = 5;
const stepsOf = (off: (mm: number) => number, lengthMm: number): Step[] =>
  Array.from({ length: lengthMm / STEP_MM }, (_, i) => {
    const values = Float64Array.of(off(STEP_MM * (i + 0.5)));
    return { fromMm: STEP_MM * i, toMm: STEP_MM * (i + 1), fromUs: i, toUs: i + 1, values, off: values };
  });

describe('the shape of a change', () => {
  test('a step is a step, from where it is, with its size', () => {
    const found = changeShape(
      stepsOf(mm => (mm > 200 ? 3 : 0), 260),
      0,
      205,
      0,
    )!;
    expect(found).toMatchObject({ shape: 'step', fromMm: 200, fromUs: 40 });
    expect(found.size).toBeCloseTo(3, 12);
  });

  test('a ramp is a ramp, from where it begins, with where it stands', () => {
    const found = changeShape(
      stepsOf(mm => 0.05 * Math.max(0, mm - 150), 300),
      0,
      200,
      0,
    )!;
    expect(found.shape).toBe('ramp');
    expect(found.fromMm).toBe(150);
    expect(found.size).toBeCloseTo(7.5, 12);
  });

  test('both are told apart under noise nearly always', () => {
    const next = normals(3);
    let right = 0;
    for (let trial = 0; trial < 200; trial++) {
      const ramp = trial % 2 === 0;
      const truth = (mm: number): number => (ramp ? 0.1 * Math.max(0, mm - 150) : mm > 150 ? 5 : 0);
      // Steps vary by √5 as much as windows.
      const steps = stepsOf(mm => truth(mm) + Math.sqrt(5) * next(), 250);
      if (changeShape(steps, 0, 160, 0)!.shape === (ramp ? 'ramp' : 'step')) right++;
    }
    expect(right).toBeGreaterThan(170);
  });

  test('weld before the change that is not known is left out, and an offset taken off', () => {
    const steps = stepsOf(mm => (mm > 100 && mm < 120 ? Number.NaN : mm > 200 ? 5 : 2), 260);
    const found = changeShape(steps, 0, 205, 2)!;
    expect(found).toMatchObject({ shape: 'step', fromMm: 200 });
    expect(found.size).toBeCloseTo(3, 12);
    expect(changeShape(steps.slice(0, 1), 0, 0, 0)).toBeNull();
  });
});

test('one step, however wild, calls nothing', () => {
  const chart = new WeldCusum({ k: 1, h: 5 });
  expect(chart.add(1000, 1 / 5, 0, 0)).toBeNull();
  expect(chart.most).toBeCloseTo((11 - 1) / 5, 12);
});

describe('the own level of a pass', () => {
  test('is between that of good passes and what was seen, as a normal level would be', () => {
    // Normal mean with known variance: prior weight priorMm, data weight seenMm (DeGroot, Optimal Statistical Decisions, 9.5).
    const own = new OwnLevel();
    for (let i = 0; i < 20; i++) own.add(4, 5, 50, false);
    expect(own.known).toBe(true);
    expect(own.offset).toBeCloseTo((4 * 100) / (50 + 100), 12);
    expect(own.plain).toBeCloseTo(4, 12);
  });

  test('lies some way back: a change that has just begun is not in it, and one that may have begun is left out', () => {
    const own = new OwnLevel();
    for (let i = 0; i < 20; i++) own.add(0, 5, 50, false);
    for (let i = 0; i < 10; i++) own.add(8, 5, 50, false);
    expect(own.offset).toBe(0);
    const held = new OwnLevel();
    for (let i = 0; i < 20; i++) held.add(0, 5, 50, false);
    for (let i = 0; i < 60; i++) held.add(8, 5, 50, true);
    expect(held.offset).toBe(0);
  });
});
