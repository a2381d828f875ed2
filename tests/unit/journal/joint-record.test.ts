/** What is missing or against the rules in the record of a joint. Rules of our own. */
import { describe, expect, it } from 'vitest';
import type { JointFacts } from '#core/journal/joint-facts';
import { jointState } from '#core/journal/joint-state';
import {
  jointFacts,
  passOf,
  reading,
  readyJournal,
  rootDone,
  TestJournal,
  WPS,
  withEntry,
  without,
} from '../../support/journal.ts';

const inRecord = (facts: JointFacts): string[] => jointState(facts).findings.map(({ code }) => code);

describe('in the record', () => {
  it('a joint that nobody opened', () => {
    const facts = jointFacts({ passes: rootDone, procedure: WPS });
    expect(jointState(facts).opened).toBe(false);
    expect(inRecord(facts)).toContain('jointNotOpened');
  });

  it('a number opened twice', () => {
    const entries = withEntry({ kind: 'jointOpened', joint: 'J-1' }, { author: 'p-2' });
    const found = jointState(jointFacts({ entries })).findings.find(({ code }) => code === 'jointNumberUsed');
    expect(found?.text).toContain('by Ada Vale and again 2026-05-12 08:08 UTC by Ben Ost');
  });

  it('a missing pass below one that is there, on its side only', () => {
    const facts = jointFacts({
      entries: readyJournal().entries,
      passes: [passOf('r-a', 'root', 'A', 10), passOf('f-b', 'fill', 'B', 40)],
    });
    const missing = jointState(facts).findings.filter(({ code }) => code === 'passMissing');
    expect(missing.map(({ text }) => text)).toEqual(['root, side B, is missing though fill is there.']);
  });

  it('a pass that began before the one the WPS puts first', () => {
    const facts = jointFacts({
      entries: readyJournal().entries,
      passes: [passOf('r-a', 'root', 'A', 50), passOf('f-a', 'fill', 'A', 40)],
    });
    const found = jointState(facts).findings.find(({ code }) => code === 'passOutOfOrder');
    expect(found?.text).toBe(
      'fill, side A, began 2026-05-12 08:40 UTC, before root at 2026-05-12 08:50 UTC, which the WPS puts first.',
    );
    expect(found?.link).toBe('/joints/J-1/enter/move?passId=f-a');
  });

  it('one pass recorded twice over the same stretch: a number used again; not a continuation, not the rest of it', () => {
    const entries = readyJournal().entries;
    const again = passOf('r-a2', 'root', 'A', 90);
    expect(inRecord(jointFacts({ entries, passes: [...rootDone, again] }))).toContain('passRecordedTwice');
    const continued = { ...again, pass: { ...again.pass, continues: 1 } };
    expect(inRecord(jointFacts({ entries, passes: [...rootDone, continued] }))).not.toContain(
      'passRecordedTwice',
    );
    const rest = { ...again, pass: { ...again.pass, startPositionMm: 370, endPositionMm: 958 } };
    expect(inRecord(jointFacts({ entries, passes: [...rootDone, rest] }))).not.toContain('passRecordedTwice');
  });

  it('a pass the WPS does not have, and one without a name', () => {
    const entries = readyJournal().entries;
    const odd = { ...passOf('x', 'hot', 'A', 30) };
    const unnamed = passOf('y', null, 'A', 35, { joint: 'J-1', side: 'A' });
    const found = jointState(jointFacts({ entries, passes: [...rootDone, odd, unnamed] })).findings;
    expect(found.filter(({ code }) => code === 'passUnknown').map(({ text }) => text)).toEqual([
      'A pass recorded 2026-05-12 08:30 UTC on spread-1/rig-a is hot, which the WPS does not have.',
      'A pass recorded 2026-05-12 08:35 UTC on spread-1/rig-a names no pass.',
    ]);
  });

  it('a reading taken after the pass it was for had begun', () => {
    const late = without('temperatureReading');
    const journal = new TestJournal();
    journal.entries.push(...late);
    journal.add(reading('preheatTemperature', 'root', 120, 15));
    expect(inRecord(jointFacts({ entries: journal.entries, passes: rootDone }))).toContain('readingLate');
  });

  it('a layer covered without a release', () => {
    const facts = jointFacts({
      entries: readyJournal().entries,
      passes: [...rootDone, passOf('f-a', 'fill', 'A', 40), passOf('f-b', 'fill', 'B', 41)],
    });
    expect(inRecord(facts)).toContain('layerNotReleased');
  });
});
