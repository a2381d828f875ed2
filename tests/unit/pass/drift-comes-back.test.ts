/** A change that is over before the pass is: the record says how large it was, not what is left of it. */
import { describe, expect, test } from 'vitest';
import { DriftRig, driftOf } from '../../support/drift-weld.ts';
import { newEngine } from '../../support/engine-run.ts';

const teacher = new DriftRig(newEngine({ samplePeriodS: 0.02 }));
teacher.learn();
const rigWith = () =>
  new DriftRig(newEngine({ samplePeriodS: 0.02 }, { driftBook: teacher.engine.driftBook }));

describe('a change that comes back', () => {
  test('a step is on record as large as it was, with where it was over', () => {
    const back = (mm: number) => (mm >= 200 && mm < 400 ? -12 : 0);
    const { calls } = driftOf(rigWith().weld({ seed: 9, change: { weldingCurrent: back } }));
    expect(calls).toHaveLength(1);
    expect(Math.abs(calls[0]!.change! + 12)).toBeLessThan(2);
    expect(Math.abs(calls[0]!.toMm! - 400)).toBeLessThan(30);
  });

  test('a ramp is on record at its largest', () => {
    const hill = (mm: number) => (mm < 150 ? 0 : mm < 450 ? (-20 * (mm - 150)) / 300 : 0);
    const { calls } = driftOf(rigWith().weld({ seed: 12, change: { weldingCurrent: hill } }));
    const drifting = calls.find(({ rule }) => rule === 'drifting');
    expect(drifting!.change!).toBeLessThan(-12);
    expect(drifting!.text).not.toContain(' 0 A');
  });
});
