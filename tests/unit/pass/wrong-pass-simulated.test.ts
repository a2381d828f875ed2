/**
 * Wrong passes made by the simulator's physics (noise, start sequence, carriage ramp, weave), assigned right and
 * wrong at three severities. Invented sets; the bounds of 25 and 50 mm are the requirement's.
 */
import { describe, expect, test } from 'vitest';
import { closedPasses } from '../../support/engine-run.ts';
import {
  confusionOf,
  effectsOf,
  NOTHING_SAID,
  rightTrials,
  wrongTrials,
} from '../../support/pass-confusion.ts';
import { exampleProcedure, setPointOf, simulatedPass } from '../../support/simulated-pass.ts';

const EXAMPLE = exampleProcedure(process.cwd());
const seeds = (n: number): number[] => Array.from({ length: n }, (_, i) => i + 1);
const ALL_FILLS = 'fill 1, fill 2 or fill 3';
const fill = (name: string): boolean => name.startsWith('fill');

test('good passes of all six types, several hundred: not one is flagged', () => {
  const trials = rightTrials(EXAMPLE, seeds(40), 40);
  expect(trials.length).toBe(480);
  expect(trials.filter(({ said }) => said !== NOTHING_SAID)).toEqual([]);
});

describe('wrong passes', () => {
  const trials = wrongTrials(EXAMPLE, seeds(2));
  const of = (severity: string, programKnown: boolean) =>
    trials.filter(one => one.severity === severity && one.programKnown === programKnown);

  test('whole set, number known: all of them, each by its name', () => {
    expect(of('whole set', true).filter(({ said, set }) => said !== set)).toEqual([]);
  });

  test('whole set, number unknown: all by the numbers; fills among themselves are one', () => {
    for (const { assigned, set, said } of of('whole set', false)) {
      const expected = !fill(set) ? set : fill(assigned) ? NOTHING_SAID : ALL_FILLS;
      expect([assigned, set, said]).toEqual([assigned, set, expected]);
    }
  });

  test('feed only: by the number, all; without it nothing wrong is said', () => {
    expect(of('feed only', true).filter(({ said, set }) => said !== set)).toEqual([]);
    expect(of('feed only', false).filter(({ said }) => said !== NOTHING_SAID)).toEqual([]);
  });

  test('half-way: told or not, never a third pass', () => {
    const half = [...of('half-way', true), ...of('half-way', false)];
    expect(half.filter(({ said, set }) => said !== set && said !== NOTHING_SAID)).toEqual([]);
  });

  test('each is told between 25 and 50 mm after travel starts', () => {
    const told = trials.flatMap(({ travelledMm }) => travelledMm ?? []);
    expect(told.length).toBeGreaterThan(150);
    expect(Math.min(...told)).toBeGreaterThanOrEqual(25);
    expect(Math.max(...told)).toBeLessThanOrEqual(50);
  });

  test('the confusion table counts every one once', () => {
    const { columns, rows } = confusionOf(of('whole set', false));
    expect(columns).toEqual([NOTHING_SAID, 'root', 'hot', 'cap', ALL_FILLS]);
    expect(rows.flatMap(({ counts }) => counts).reduce((a, b) => a + b)).toBe(of('whole set', false).length);
  });
});

test('the record of the pass says what it looked like; it is no verdict', () => {
  const chunk = simulatedPass(setPointOf('fill 1'), {
    seed: 3,
    faults: [
      { kind: 'wrongPass', size: 1, fromMm: 0, toMm: null, rampMm: 0, otherPass: 'hot', channel: null },
    ],
  });
  const [closed] = closedPasses(effectsOf(chunk, 'fill 1', EXAMPLE));
  expect(closed!.pass.procedurePass).toBe('fill 1');
  expect(closed!.pass.reasons.find(({ code }) => code === 'looksLikeOtherPass')).toMatchObject({
    fields: ['procedurePass'],
    text: expect.stringMatching(
      /^Looks like hot, not fill 1: feed 11\.[45] m\/min, travel 17\.\d mm\/s, program 2\.$/,
    ),
  });
  expect(closed!.pass.verdicts.map(({ quantity }) => quantity)).not.toContain('pass');
});

test('another pass’s program for the first stretch: told, and told to be over', () => {
  const chunk = simulatedPass(setPointOf('cap'), {
    seed: 4,
    lengthMm: 140,
    faults: [
      { kind: 'wrongPass', size: 1, fromMm: 0, toMm: 45, rampMm: 0, otherPass: 'fill 3', channel: null },
    ],
  });
  const events = effectsOf(chunk, 'cap', EXAMPLE).flatMap(effect =>
    effect.kind === 'event' && effect.type === 'passMismatch' ? [effect] : [],
  );
  expect(events.map(({ data }) => data['likelier'])).toEqual(['fill 3', null]);
  expect(events[1]!.text).toMatch(
    /^No longer looks like fill 3: feed 7\.\d m\/min, travel 5\.\d mm\/s, program 6\.$/,
  );
  expect(Number(events[1]!.data['positionMm'])).toBeLessThan(110);
});
