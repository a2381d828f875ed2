/** Correction factors: from a stated moment, beside the record, never in it. Rule of the project. */
import { describe, expect, it } from 'vitest';
import { correctedPass, correctionsAt } from '#core/journal/corrections';
import { passOf, TestJournal, utcAt } from '../../support/journal.ts';

function factor(
  journal: TestJournal,
  channel: 'travelSpeed' | 'wireFeedSpeed',
  value: number,
  minutes: number,
) {
  return journal.add(
    {
      kind: 'correction',
      site: 'spread-1',
      rig: 'rig-a',
      channel,
      factor: value,
      previous: 1,
      from: utcAt(minutes),
    },
    { reason: 'by the timed run' },
  );
}

describe('correction factors', () => {
  it('in force: the latest moment that has come, of each channel', () => {
    const journal = new TestJournal();
    factor(journal, 'travelSpeed', 0.98, 10);
    factor(journal, 'wireFeedSpeed', 1.03, 12);
    factor(journal, 'travelSpeed', 0.97, 60);
    const at = (minutes: number) =>
      correctionsAt(journal.entries, utcAt(minutes)).map(({ body }) => [body.channel, body.factor]);
    expect(at(9)).toEqual([]);
    expect(at(30)).toEqual([
      ['travelSpeed', 0.98],
      ['wireFeedSpeed', 1.03],
    ]);
    expect(at(60)).toEqual([
      ['travelSpeed', 0.97],
      ['wireFeedSpeed', 1.03],
    ]);
  });

  it('entered later for an earlier moment does not replace one of a later moment', () => {
    const journal = new TestJournal();
    factor(journal, 'travelSpeed', 0.97, 60);
    factor(journal, 'travelSpeed', 0.99, 20);
    expect(correctionsAt(journal.entries, utcAt(70)).map(({ body }) => body.factor)).toEqual([0.97]);
    expect(correctionsAt(journal.entries, utcAt(30)).map(({ body }) => body.factor)).toEqual([0.99]);
  });

  it('shows recorded and corrected values of a pass begun after the moment; energy per length falls as length grows', () => {
    const journal = new TestJournal();
    const entry = factor(journal, 'travelSpeed', 1.25, 10);
    const pass = passOf('r', 'root', 'A', 20);
    const before = structuredClone(pass);
    const shown = correctedPass(pass, journal.entries);
    expect(shown.corrections).toEqual([
      { channel: 'travelSpeed', factor: 1.25, from: utcAt(10), author: 'p-1', entryId: entry.id },
    ]);
    // 7.5 mm/s, 375 mm, 0.7552 and 0.60416 kJ/mm recorded; by hand: × 1.25 and ÷ 1.25.
    expect(shown.corrected).toEqual([
      { field: 'meanTravelMmS', recorded: 7.5, corrected: 9.375 },
      { field: 'runOutLengthMm', recorded: 375, corrected: 468.75 },
      { field: 'arcEnergyKjMm', recorded: 0.7552, corrected: expect.closeTo(0.60416, 12) },
      { field: 'heatInputKjMm', recorded: 0.60416, corrected: expect.closeTo(0.483328, 12) },
    ]);
    expect(pass).toEqual(before);
  });

  it('an unknown value stays unknown', () => {
    const journal = new TestJournal();
    factor(journal, 'wireFeedSpeed', 1.03, 10);
    expect(correctedPass(passOf('r', 'root', 'A', 20), journal.entries).corrected).toEqual([
      { field: 'meanWireFeedMmS', recorded: null, corrected: null },
      { field: 'wireUsedM', recorded: null, corrected: null },
      { field: 'wireUsedKg', recorded: null, corrected: null },
    ]);
  });

  it('is not applied to a pass that began before its moment, and says so where the moment falls inside', () => {
    const journal = new TestJournal();
    factor(journal, 'travelSpeed', 0.97, 25);
    const inside = correctedPass(passOf('r', 'root', 'A', 20), journal.entries);
    expect(inside).toMatchObject({ corrections: [], corrected: [] });
    expect(inside.correctionNotes[0]).toContain('inside this pass: it is not applied');
    expect(correctedPass(passOf('r', 'root', 'A', 5), journal.entries)).toEqual({
      corrections: [],
      corrected: [],
      correctionNotes: [],
    });
  });

  it('a factor of 1 corrects nothing', () => {
    const journal = new TestJournal();
    factor(journal, 'travelSpeed', 1, 10);
    expect(correctedPass(passOf('r', 'root', 'A', 20), journal.entries).corrected).toEqual([]);
  });
});
