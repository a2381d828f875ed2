import { expect, test } from 'vitest';
import { type Hinted, hintAt } from '#core/training/hints';
import { trainingMark, trainingWindow, utcAt } from '../../support/training-session.ts';

const lesson = (more: Partial<Hinted> = {}): Hinted => ({
  mode: 'practice',
  truth: [trainingWindow('s1', 100, 200), trainingWindow('d1', 10, 90, { kind: 'decoy' })],
  marks: [],
  pauses: [],
  ...more,
});

test.each([
  [99, null],
  [119, null],
  [120, 'side'],
  [140, 'channel'],
  [160, 'action'],
  [199, 'action'],
  [200, null],
])('at %i s of a signal from 100 s to 200 s: %s', (second, step) => {
  expect(hintAt(utcAt(second), lesson())?.step ?? null).toBe(step);
});

test('a hint says no more than its step', () => {
  expect(hintAt(utcAt(125), lesson())).toEqual({
    step: 'side',
    rig: 'rig-a',
    side: 'A',
    channels: null,
    actions: null,
  });
  expect(hintAt(utcAt(165), lesson())).toMatchObject({ channels: ['weldingCurrent'], actions: ['call'] });
});

test('nothing is said in a check, after a mark, or for the time it was frozen', () => {
  expect(hintAt(utcAt(165), lesson({ mode: 'check' }))).toBeNull();
  expect(hintAt(utcAt(165), lesson({ marks: [trainingMark('m', 110)] }))).toBeNull();
  const pauses = [{ from: utcAt(110), to: null }];
  expect(hintAt(utcAt(165), lesson({ pauses }))).toBeNull();
});
