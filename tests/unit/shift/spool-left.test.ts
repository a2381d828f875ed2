/** What is left on a spool. Invented examples, computed by hand beside each check. */
import { describe, expect, it } from 'vitest';
import type { PassMessage } from '#core/messages/pass';
import { lastSpoolChange } from '#core/shift/shift-report';
import { shareAfter, spoolLeft } from '#core/shift/spool-left';
import { TestJournal, utcAt } from '../../support/journal.ts';
import { testPass } from '../../support/test-records.ts';

const RIG = { site: 'spread-1', rig: 'rig-a' };

/** From minute to minute, its arc burning but for the stops. */
function welded(
  fromMin: number,
  toMin: number,
  wireUsedKg: number | null,
  stopsMin: readonly (readonly [number, number])[] = [],
): PassMessage {
  const made = testPass(1, { startUtc: utcAt(fromMin), endUtc: utcAt(toMin) });
  const stops = stopsMin.map(([from, to]) => ({ startS: from * 60, endS: to * 60, positionMm: null }));
  return {
    ...made,
    pass: { ...made.pass, startS: fromMin * 60, endS: toMin * 60, stops, wireUsedKg },
  };
}

function changed(minutes: number, wireKg?: number) {
  const journal = new TestJournal();
  return journal.add({
    kind: 'rigEvent',
    ...RIG,
    event: 'spoolChange',
    happenedAt: utcAt(minutes),
    lot: 'W-1',
    ...(wireKg === undefined ? {} : { wireKg }),
  });
}

describe('wire left on a spool', () => {
  it('15 kg put on, 0.4 and 0.6 kg fed since: 14 kg; what was fed before does not count', () => {
    const passes = [welded(0, 5, 3), welded(20, 25, 0.4), welded(30, 38, 0.6)];
    expect(spoolLeft(changed(10, 15), passes, utcAt(600))).toEqual({
      leftKg: expect.closeTo(14, 9),
      putOnKg: 15,
      changedAt: utcAt(10),
      lot: 'W-1',
      estimated: false,
      reason: null,
    });
  });

  it('a pass that it was changed in counts for its arc after the change, and that is an estimate', () => {
    // Arc from 0 to 6 and from 14 to 20 min, changed at 10: half of 0.8 kg.
    const passes = [welded(0, 20, 0.8, [[6, 14]])];
    expect(spoolLeft(changed(10, 15), passes, utcAt(600))).toMatchObject({
      leftKg: expect.closeTo(14.6, 9),
      estimated: true,
    });
  });

  it.each([
    ['no change is entered', null, [], 'no change of spool is entered'],
    ['its mass is not said', changed(10), [], 'the change of spool does not say how much wire was on it'],
    [
      'a pass since does not know its wire',
      changed(10, 15),
      [welded(20, 25, 0.4), welded(30, 35, null)],
      'the wire of one pass since is not known: no wire feed is measured',
    ],
    [
      'more was fed than was on it',
      changed(10, 0.5),
      [welded(20, 25, 0.6)],
      'more wire was fed than was put on: a change of spool is not entered',
    ],
  ] as const)('is not known where %s', (_, change, passes, reason) => {
    expect(spoolLeft(change, passes, utcAt(600))).toMatchObject({ leftKg: null, reason });
  });

  it('nothing fed since leaves what was put on', () => {
    expect(spoolLeft(changed(10, 15), [], utcAt(600)).leftKg).toBe(15);
  });
});

it('the share of a pass after a moment goes by arc time', () => {
  const pass = welded(0, 20, 1, [[6, 14]]);
  expect([-5, 0, 3, 6, 10, 14, 17, 20, 30].map(minutes => shareAfter(pass, utcAt(minutes)))).toEqual([
    1,
    1,
    expect.closeTo(9 / 12, 9),
    0.5,
    0.5,
    0.5,
    0.25,
    0,
    0,
  ]);
});

it('the spool that was on is the last changed until then, corrected entries left out', () => {
  const journal = new TestJournal();
  const add = (minutes: number, lot: string, corrects: string | null = null) =>
    journal.add(
      { kind: 'rigEvent', ...RIG, event: 'spoolChange', happenedAt: utcAt(minutes), lot },
      corrects === null ? {} : { corrects, reason: 'wrong lot' },
    );
  add(10, 'W-1');
  const wrong = add(200, 'W-2');
  add(200, 'W-3', wrong.id);
  expect([5, 100, 300].map(at => lastSpoolChange(journal.entries, utcAt(at))?.body.lot)).toEqual([
    undefined,
    'W-1',
    'W-3',
  ]);
});
