import { describe, expect, test } from 'vitest';
import { LATE_S } from '#core/training/match-marks';
import { type Scored, scoreSession } from '#core/training/score';
import { trainingArc, trainingMark, trainingWindow, utcAt } from '../../support/training-session.ts';

/** One signal from 100 s to 130 s and one decoy from 200 s to 220 s, while both sides weld for ten minutes. */
const lesson = (more: Partial<Scored>): Scored => ({
  notScored: null,
  truth: [
    trainingWindow('s1', 100, 130),
    trainingWindow('d1', 200, 220, { kind: 'decoy', channels: [], actions: [] }),
  ],
  marks: [],
  pauses: [],
  arcs: [trainingArc(0, 600), trainingArc(0, 600, 'rig-b', 'B')],
  lateAfterS: null,
  ...more,
});

describe('one mark', () => {
  test.each([
    ['before it begins', 99.9, 'miss', { falseAlarm: 1 }],
    ['at its beginning', 100, 'hit', { hit: 1 }],
    ['at its end', 130, 'hit', { hit: 1 }],
    ['after its end', 130.1, 'late', { late: 1 }],
    ['too long after its end', 130.1 + LATE_S, 'miss', { falseAlarm: 1 }],
  ])('%s', (_when, atS, result, expected) => {
    const score = scoreSession(lesson({ marks: [trainingMark('m', atS)] }));
    expect(score.windows[0]).toMatchObject({ windowId: 's1', result });
    expect(score.counts).toMatchObject({ signals: 1, decoys: 1, leftAlone: 1, ...expected });
  });

  test('is late after a stated time though the window is open', () => {
    const at = (atS: number) =>
      scoreSession(lesson({ marks: [trainingMark('m', atS)], lateAfterS: 10 })).windows[0]!.result;
    expect(at(110)).toBe('hit');
    expect(at(110.1)).toBe('late');
  });

  test('tells time and weld to detection, right channel and right action', () => {
    const [one] = scoreSession(
      lesson({ marks: [trainingMark('m', 104, { channel: 'arcVoltage', action: 'call' })] }),
    ).windows;
    expect(one).toEqual({
      windowId: 's1',
      result: 'hit',
      markId: 'm',
      seconds: 4,
      weldMm: 30,
      rightChannel: false,
      rightAction: true,
    });
    const [unnamed] = scoreSession(
      lesson({ marks: [trainingMark('m', 104, { channel: null, action: null, alongMm: null })] }),
    ).windows;
    expect(unnamed).toMatchObject({ weldMm: null, rightChannel: null, rightAction: null });
  });

  test('on the other side of an open signal is a wrong side, elsewhere a false alarm', () => {
    const other = { rig: 'rig-b', side: 'B' } as const;
    const score = scoreSession(
      lesson({ marks: [trainingMark('m1', 105, other), trainingMark('m2', 300, other)] }),
    );
    expect(score).toMatchObject({ wrongSide: ['m1'], falseAlarms: ['m2'] });
    expect(score.windows[0]!.result).toBe('miss');
    expect(score.counts).toMatchObject({ wrongSide: 1, falseAlarm: 1 });
  });

  test('in a decoy is a false alarm, unless it says to leave it alone', () => {
    const marked = scoreSession(lesson({ marks: [trainingMark('m', 210)] }));
    expect(marked.windows[1]).toMatchObject({ result: 'falseAlarm', markId: 'm' });
    expect(marked).toMatchObject({ falseAlarms: [], counts: { falseAlarm: 1, leftAlone: 0 } });
    const left = scoreSession(lesson({ marks: [trainingMark('m', 210, { action: 'leaveAlone' })] }));
    expect(left.windows[1]).toMatchObject({ result: 'leftAlone', rightAction: true });
    expect(left.counts).toMatchObject({ falseAlarm: 0, leftAlone: 1 });
  });

  test('that wants to leave a signal alone saw it and missed it', () => {
    const seen = scoreSession(lesson({ marks: [trainingMark('m', 105, { action: 'leaveAlone' })] }));
    expect(seen.windows[0]).toMatchObject({ result: 'miss', markId: 'm', seconds: 5, rightAction: false });
    expect(seen.counts).toMatchObject({ hit: 0, miss: 1, falseAlarm: 0 });
  });
});

test.each([
  [749, 0],
  [740, null],
  [0, null],
])('a mark at %i mm of trouble from 750 mm on is %s mm of weld after its beginning', (alongMm, weldMm) => {
  const { windows } = scoreSession(lesson({ marks: [trainingMark('m', 140, { alongMm })] }));
  expect(windows[0]).toMatchObject({ result: 'late', weldMm });
});

test('a second mark in an answered window is a repeat, neither right nor wrong', () => {
  const score = scoreSession(lesson({ marks: [trainingMark('m1', 105), trainingMark('m2', 110)] }));
  expect(score.repeats).toEqual(['m2']);
  expect(score.counts).toMatchObject({ hit: 1, falseAlarm: 0 });
});

test('of two open windows a mark answers the one with the named channel', () => {
  const truth = [trainingWindow('s1', 100, 150), trainingWindow('s2', 110, 150, { channels: ['gasFlow'] })];
  const score = scoreSession(lesson({ truth, marks: [trainingMark('m', 120, { channel: 'gasFlow' })] }));
  expect(score.windows.map(({ result }) => result)).toEqual(['miss', 'hit']);
});

test('time while frozen does not count', () => {
  const pauses = [{ from: utcAt(110), to: utcAt(170) }];
  const truth = [trainingWindow('s1', 100, 190)];
  const score = scoreSession(lesson({ truth, pauses, marks: [trainingMark('m', 180)], lateAfterS: 25 }));
  expect(score.windows[0]).toMatchObject({ result: 'hit', seconds: 20 });
});

test('a window the lesson did not reach is not a miss', () => {
  const score = scoreSession(lesson({ truth: [trainingWindow('s1', null, null)] }));
  expect(score.windows[0]!.result).toBe('notReached');
  expect(score.counts).toMatchObject({ signals: 0, miss: 0 });
});

test('what is not scored has no counts, and says why', () => {
  expect(scoreSession(lesson({ notScored: 'It ran at ×4.', marks: [trainingMark('m', 105)] }))).toEqual({
    notScored: 'It ran at ×4.',
    windows: [],
    falseAlarms: [],
    wrongSide: [],
    repeats: [],
    counts: null,
    sensitivity: null,
    sensitivityReason: 'It ran at ×4.',
  });
});

test('clean weld is cut to the usual length of a signal', () => {
  // Ten signals of 30 s, one each 100 s; a mark in seven of them and one on clean weld.
  const truth = Array.from({ length: 10 }, (_, i) => trainingWindow(`s${i}`, 100 * i, 100 * i + 30));
  const marks = [0, 1, 2, 3, 4, 5, 6].map(i => trainingMark(`m${i}`, 100 * i + 5));
  const score = scoreSession(
    lesson({ truth, arcs: [trainingArc(0, 1000)], marks: [...marks, trainingMark('stray', 165)] }),
  );
  // By hand: 100 s − 30 s − 30 s in which it could be answered late leaves 40 s, one window of 30 s, ten times.
  expect(score.sensitivity).toMatchObject({ signals: 10, hits: 7, noises: 10, falseAlarms: 1 });
  // z(7.5/11) − z(1.5/11) = 0.4728 + 1.0968, by the printed table of Φ, from memory.
  expect(score.sensitivity!.dPrime).toBeCloseTo(1.57, 2);
  expect(score.sensitivityReason).toBeNull();
});
