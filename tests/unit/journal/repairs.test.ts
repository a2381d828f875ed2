/** What follows from a ruling to repair or to cut out. Rules of our own; a number once given stands for ever. */
import { describe, expect, it } from 'vitest';
import type { Decision } from '#core/journal/decisions';
import { foldJoint } from '#core/journal/joint-fold';
import { jointState } from '#core/journal/joint-state';
import { jointSummary } from '#core/journal/joint-summary';
import { proposeWork } from '#core/journal/proposal';
import { cutOutOf, repairOf } from '#core/journal/repairs';
import { workFindings } from '#core/journal/work-findings';
import {
  jointFacts,
  passOf,
  readyJournal,
  rootDone,
  type TestJournal,
  utcAt,
} from '../../support/journal.ts';

/** The ready journal, ruled on at the given minutes. */
function ruled(...rulings: readonly (readonly [Decision, number])[]): TestJournal {
  const journal = readyJournal();
  for (const [decision, minutes] of rulings)
    journal.add(
      { kind: 'disposition', joint: 'J-1', decision },
      { at: utcAt(minutes), reason: 'by the scan' },
    );
  return journal;
}
const codes = (facts: ReturnType<typeof jointFacts>): string[] =>
  jointState(facts).findings.map(({ code }) => code);
const again = passOf('r-a2', 'root', 'A', 90);

describe('a repair', () => {
  it('is what was welded while a ruling to repair was the last that stood', () => {
    const { entries } = ruled(['repair', 60], ['accept', 120], ['reRepair', 180]);
    expect(
      [50, 90, 130, 200].map(minutes => repairOf(entries, utcAt(minutes))?.body.decision ?? null),
    ).toEqual([null, 'repair', null, 'reRepair']);
  });

  it('is no number used twice: the pass counts on the same joint, and as a repair', () => {
    const facts = jointFacts({ entries: ruled(['repair', 60]).entries, passes: [...rootDone, again] });
    expect(codes(facts)).not.toContain('passRecordedTwice');
    expect(jointState(facts).passes.find(({ side }) => side === 'A')?.passIds).toEqual(['r-a', 'r-a2']);
    expect(jointSummary(facts, null)).toMatchObject({ passes: 3, repairs: 1 });
    // Without a ruling, or with one that says something else, it stays one.
    for (const entries of [readyJournal().entries, ruled(['reinspect', 60]).entries]) {
      expect(codes(jointFacts({ entries, passes: [...rootDone, again] }))).toContain('passRecordedTwice');
    }
  });

  it('is welded again on purpose: an assignment to a pass that is done says so no more', () => {
    const work = { side: 'A' as const, pass: 'root' };
    const found = (facts: ReturnType<typeof jointFacts>) =>
      workFindings(facts, foldJoint(facts), work).map(({ code }) => code);
    expect(found(jointFacts({ entries: readyJournal().entries, passes: rootDone }))).toContain(
      'passDoneAlready',
    );
    const facts = jointFacts({ entries: ruled(['repair', 60]).entries, passes: rootDone });
    expect(found(facts)).not.toContain('passDoneAlready');
  });
});

describe('a joint that was cut out', () => {
  const { entries } = ruled(['cutOut', 60]);

  it('is out until a later ruling or a correction says otherwise', () => {
    expect(cutOutOf(entries)?.body.decision).toBe('cutOut');
    expect(cutOutOf(ruled(['cutOut', 60], ['hold', 70]).entries)).toBeNull();
    const wrong = ruled(['cutOut', 60]);
    wrong.add(
      { kind: 'disposition', joint: 'J-1', decision: 'repair' },
      { at: utcAt(61), reason: 'meant J-2', corrects: wrong.entries.at(-1)!.id },
    );
    expect(cutOutOf(wrong.entries)).toBeNull();
  });

  it('warns before an arc, and says what was welded under its number later', () => {
    const facts = jointFacts({ entries, passes: rootDone });
    const [first] = workFindings(facts, foldJoint(facts), { side: 'A', pass: 'fill' });
    expect(first).toMatchObject({
      code: 'jointCutOut',
      text: 'Joint J-1 was cut out 2026-05-12 09:00 UTC by Ada Vale: its number is retired and never used again.',
    });
    const later = jointState(jointFacts({ entries, passes: [...rootDone, again] })).findings;
    expect(later.find(({ code }) => code === 'jointCutOut')).toMatchObject({
      text: expect.stringContaining('A pass was recorded 2026-05-12 09:30 UTC under joint J-1'),
      link: '/joints/J-1/enter/move?passId=r-a2',
    });
  });

  it('is proposed to no rig', () => {
    const propose = (of: typeof entries) =>
      proposeWork({
        ...{ site: 'spread-1', rig: 'rig-a', history: [] },
        joints: [jointFacts({ entries: of, passes: rootDone })],
      }).joint;
    expect(propose(readyJournal().entries)).toBe('J-1');
    expect(propose(entries)).toBeNull();
  });
});
