/** Whatever was welded and marked, the score keeps to its own rules. */

import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Truth } from '#core/training/control';
import { ACTIONS, NAMED_CHANNELS } from '#core/training/names';
import { type Scored, scoreSession } from '#core/training/score';
import type { Mark } from '#core/training/session';
import { trainingArc, trainingMark, trainingWindow } from '../support/training-session.ts';

const where = fc.constantFrom({ rig: 'rig-a', side: 'A' } as const, { rig: 'rig-b', side: 'B' } as const);
const window = fc.record({
  kind: fc.constantFrom('signal' as const, 'decoy' as const),
  fromS: fc.integer({ min: 0, max: 900 }),
  lengthS: fc.integer({ min: 1, max: 90 }),
  where,
  channel: fc.constantFrom(...NAMED_CHANNELS),
});
const windows = fc
  .array(window, { minLength: 1, maxLength: 12 })
  .map(all =>
    all.map(({ kind, fromS, lengthS, where: at, channel }, i) =>
      trainingWindow(`w${i}`, fromS, fromS + lengthS, { kind, ...at, channels: [channel] }),
    ),
  );
const mark = fc.record({
  atS: fc.integer({ min: 0, max: 1000 }),
  where,
  channel: fc.option(fc.constantFrom(...NAMED_CHANNELS)),
  action: fc.option(fc.constantFrom(...ACTIONS)),
});
const marks = fc
  .array(mark, { maxLength: 20 })
  .map(all =>
    all.map(({ atS, where: at, channel, action }, i) =>
      trainingMark(`m${i}`, atS, { ...at, channel, action }),
    ),
  );

const scored = (truth: Truth['windows'], of: readonly Mark[]): Scored => ({
  notScored: null,
  truth,
  marks: of,
  pauses: [],
  arcs: [trainingArc(0, 1000), trainingArc(0, 1000, 'rig-b', 'B')],
  lateAfterS: null,
});

test('the order of marks does not matter, nor that one is stored twice', () => {
  fc.assert(
    fc.property(
      windows,
      marks,
      fc.infiniteStream(fc.double({ min: 0, max: 1, noNaN: true })),
      (truth, all, next) => {
        const shuffled = [...all, ...all.slice(0, 1)]
          .map(one => ({ one, key: next.next().value as number }))
          .sort((a, b) => a.key - b.key)
          .map(({ one }) => one);
        expect(scoreSession(scored(truth, shuffled))).toEqual(scoreSession(scored(truth, all)));
      },
    ),
  );
});

test('every mark counts once: in one window, or as what it was instead', () => {
  fc.assert(
    fc.property(windows, marks, (truth, all) => {
      const score = scoreSession(scored(truth, all));
      const inWindows = score.windows.flatMap(({ markId }) => markId ?? []);
      const used = [...inWindows, ...score.falseAlarms, ...score.wrongSide, ...score.repeats];
      expect(new Set(used).size).toBe(used.length);
      // What is left wanted to leave alone what nobody need act on.
      for (const one of all) if (!used.includes(one.id)) expect(one.action).toBe('leaveAlone');
      const { signals, decoys, hit, late, miss, leftAlone, falseAlarm } = score.counts!;
      expect(hit + late + miss).toBe(signals);
      expect(leftAlone + falseAlarm - score.falseAlarms.length).toBe(decoys);
    }),
  );
});

test('a silent trainee misses every signal and leaves every decoy alone', () => {
  fc.assert(
    fc.property(windows, truth => {
      const { counts } = scoreSession(scored(truth, []));
      expect(counts).toMatchObject({ hit: 0, late: 0, falseAlarm: 0, wrongSide: 0 });
      expect(counts).toMatchObject({ miss: counts!.signals, leftAlone: counts!.decoys });
    }),
  );
});

test('a perfect trainee, who marks each signal as it begins, has hits only', () => {
  fc.assert(
    fc.property(windows, truth => {
      const all = truth
        .filter(({ kind }) => kind === 'signal')
        .map(({ id, beganUtc, rig, side, channels, fromMm }): Mark => {
          return { ...trainingMark(id, 0), at: beganUtc!, rig, side, alongMm: fromMm, channel: channels[0]! };
        });
      const { counts, windows: results } = scoreSession(scored(truth, all));
      expect(counts).toMatchObject({ hit: counts!.signals, late: 0, miss: 0, falseAlarm: 0, wrongSide: 0 });
      expect(counts).toMatchObject({ rightChannel: counts!.signals, rightAction: counts!.signals });
      for (const { result, seconds } of results) if (result === 'hit') expect(seconds).toBe(0);
    }),
  );
});
