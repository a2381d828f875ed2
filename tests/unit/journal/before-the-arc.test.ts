/** Every finding before the arc: what makes it, what it says, where it is mended. Rules of our own. */
import { describe, expect, it } from 'vitest';
import type { EntryBody } from '#core/journal/entry';
import type { JointFacts } from '#core/journal/joint-facts';
import { foldJoint } from '#core/journal/joint-fold';
import { jointState } from '#core/journal/joint-state';
import { workFindings } from '#core/journal/work-findings';
import { findingSchema } from '#core/messages/api-journal';
import {
  jointFacts,
  reading,
  readyJournal,
  released,
  rootDone,
  TestJournal,
  utcAt,
  WPS,
  withEntry,
  without,
} from '../../support/journal.ts';

const ahead = (facts: JointFacts, pass = 'root', side: 'A' | 'B' = 'A') =>
  workFindings(facts, foldJoint(facts), { pass, side }).map(found => findingSchema.parse(found));
const codes = (facts: JointFacts, pass = 'root', side: 'A' | 'B' = 'A'): string[] =>
  ahead(facts, pass, side).map(({ code }) => code);

describe('before the arc', () => {
  it('says nothing where nothing is missing', () => {
    expect(codes(jointFacts({ entries: readyJournal().entries }))).toEqual([]);
    expect(codes(jointFacts({ entries: readyJournal().entries }), 'root', 'B')).toEqual([]);
  });

  it.each<[string, readonly TestJournal['entries'][number][], Partial<JointFacts>]>([
    ['wireLotMissing', without('consumables'), {}],
    ['polarityNotConfirmed', without('polarityConfirmed'), {}],
    ['operatorMissing', without('crew'), {}],
    ['qualificationMissing', without('qualification'), {}],
    ['preheatMissing', without('temperatureReading'), {}],
    ['procedureNotApproved', readyJournal().entries, { procedureState: 'draft' }],
    ['procedureWithdrawn', readyJournal().entries, { procedureState: 'withdrawn' }],
    ['procedureUnknown', readyJournal().entries, { procedure: null, procedureState: 'unknown' }],
    [
      'procedureExample',
      readyJournal().entries,
      { procedure: { ...WPS, exampleOnly: true }, origin: 'real' },
    ],
    ['qualificationExpired', readyJournal().entries, { today: '2027-01-01' }],
  ])('%s', (code, entries, parts) => {
    expect(codes(jointFacts({ entries, ...parts }))).toContain(code);
  });

  it('counts a qualification through the day it names', () => {
    const entries = readyJournal().entries;
    expect(codes(jointFacts({ entries, today: '2026-12-31' }))).toEqual([]);
  });

  it('gas lot: asked for, but not for a process without gas', () => {
    const entries = without('consumables');
    expect(codes(jointFacts({ entries }))).toContain('gasLotMissing');
    const stick = { ...WPS, passes: WPS.passes.map(pass => ({ ...pass, process: '111' })) };
    expect(codes(jointFacts({ entries, procedure: stick }))).not.toContain('gasLotMissing');
  });

  it('names the operator and the process where the qualification is for another', () => {
    const other = { ...WPS, passes: WPS.passes.map(pass => ({ ...pass, process: '136' })) };
    const [found] = ahead(jointFacts({ entries: readyJournal().entries, procedure: other }));
    expect(found).toMatchObject({
      code: 'qualificationOtherProcess',
      text: 'Ben Ost, side A: qualified for process 135; root is process 136.',
      link: '/joints/J-1/enter/qualification?person=p-2',
    });
  });

  it('polarity other than the WPS asks for', () => {
    const entries = withEntry({ kind: 'polarityConfirmed', joint: 'J-1', polarity: 'electrodeNegative' });
    expect(codes(jointFacts({ entries }))).toEqual(['polarityOther']);
  });

  it('a joint on hold says since when, by whom and why, and no more once lifted', () => {
    const journal = readyJournal();
    journal.add({ kind: 'hold', joint: 'J-1', on: true }, { reason: 'wall thickness to be measured again' });
    const [found] = ahead(jointFacts({ entries: journal.entries }));
    expect(found?.code).toBe('jointOnHold');
    expect(found?.text).toContain('by Ada Vale: wall thickness to be measured again');
    journal.add({ kind: 'hold', joint: 'J-1', on: false }, { reason: 'measured' });
    expect(codes(jointFacts({ entries: journal.entries }))).toEqual([]);
  });

  it('a size the WPS was not written for, and one inside a stated range', () => {
    const entries = withEntry({
      kind: 'jointChanged',
      joint: 'J-1',
      outsideDiameterMm: 1067,
      wallThicknessMm: 19.1,
    });
    expect(codes(jointFacts({ entries }))).toEqual(['diameterOutsideProcedure', 'wallOutsideProcedure']);
    const wide = {
      ...WPS,
      baseMaterial: { outsideDiameterMinMm: 508, wallThicknessMinMm: 12, wallThicknessMaxMm: 20 },
    };
    expect(codes(jointFacts({ entries, procedure: wide }))).toEqual([]);
  });

  it('no WPS named at all', () => {
    const journal = new TestJournal();
    journal.add({ kind: 'jointOpened', joint: 'J-1' });
    expect(codes(jointFacts({ entries: journal.entries }))).toContain('procedureMissing');
    const state = jointState(jointFacts({ entries: journal.entries }));
    expect(state.findings.map(({ code }) => code)).toContain('procedureMissing');
  });

  it('a pass before its predecessor, and what to do if that was welded unseen', () => {
    const entries = withEntry(reading('interpassTemperature', 'fill', 150, 9));
    const [found] = ahead(jointFacts({ entries }), 'fill');
    expect(found).toMatchObject({
      code: 'passBeforePredecessor',
      text: 'fill, side A, would come before root, which is not recorded there.',
      link: '/joints/J-1/enter/elsewhere?pass=root&side=A',
    });
    const unseen = withEntry({
      kind: 'loggedElsewhere',
      joint: 'J-1',
      side: null,
      pass: 'root',
      weldedBy: 'crew of the internal welding station',
      how: 'internal root, machine log on paper',
      weldedAt: utcAt(9),
    });
    expect(codes(jointFacts({ entries: unseen }), 'fill')).not.toContain('passBeforePredecessor');
  });

  it('a pass that is done already: a number used again, also after a cut-out', () => {
    const entries = readyJournal().entries;
    const [found] = ahead(jointFacts({ entries, passes: rootDone }));
    expect(found?.code).toBe('passDoneAlready');
    expect(found?.text).toMatch(/cut out\? A number is never used again/);
  });

  it('a layer that nobody released, one that was refused, one that was released', () => {
    const facts = (...more: EntryBody[]) => {
      const journal = readyJournal();
      for (const body of [reading('interpassTemperature', 'fill', 150, 21), ...more]) journal.add(body);
      return jointFacts({ entries: journal.entries, passes: rootDone, now: utcAt(30) });
    };
    expect(codes(facts(), 'fill')).toEqual(['layerNotReleased']);
    expect(ahead(facts(released('root', false)), 'fill')[0]).toMatchObject({
      code: 'layerRefused',
      text: 'root was not released by Ada Vale: undercut at 5 o’clock',
    });
    expect(codes(facts(released('root')), 'fill')).toEqual([]);
  });

  it('interpass: missing, too hot, too cold, within', () => {
    const facts = (...values: number[]) => {
      const journal = readyJournal();
      journal.add(released('root'));
      for (const value of values) journal.add(reading('interpassTemperature', 'fill', value, 25));
      return jointFacts({ entries: journal.entries, passes: rootDone, now: utcAt(30) });
    };
    expect(codes(facts(), 'fill')).toEqual(['interpassMissing']);
    expect(ahead(facts(230), 'fill')[0]).toMatchObject({
      code: 'readingOutOfLimit',
      text: 'interpass for fill: 230 °C at 6 o’clock, read by Ada Vale; the WPS allows 80 to 200 °C.',
    });
    expect(codes(facts(79), 'fill')).toEqual(['readingOutOfLimit']);
    expect(codes(facts(150), 'fill')).toEqual([]);
  });

  it('holds a preheat reading against the least the WPS asks for', () => {
    const cold = withEntry(reading('preheatTemperature', 'root', 95, 9));
    expect(codes(jointFacts({ entries: cold }))).toEqual(['readingOutOfLimit']);
  });

  it('too long since the pass before, from its end to now', () => {
    const journal = readyJournal();
    journal.add(released('root'));
    journal.add(reading('interpassTemperature', 'fill', 150, 25));
    const facts = jointFacts({ entries: journal.entries, passes: rootDone, now: utcAt(51) });
    expect(ahead(facts, 'fill')).toMatchObject(
      [
        {
          code: 'timeBetweenPassesExceeded',
          text: 'root, side A, ended 31 min ago; the WPS allows at most 20 min before fill.',
        },
        { code: 'timeBetweenPassesExceeded', text: /side B, ended 30 min ago/ },
      ].map(one => ({
        ...one,
        text: typeof one.text === 'string' ? one.text : expect.stringMatching(one.text),
      })),
    );
  });

  it('too soon after the pass before, where the WPS says how long to wait', () => {
    const waits = structuredClone(WPS);
    waits.passes[1]!.limits[2] = { quantity: 'timeBetweenPasses', unit: 'min', basis: 'instant', min: 15 };
    const facts = jointFacts({
      entries: readyJournal().entries,
      passes: rootDone,
      procedure: waits,
      now: utcAt(25),
    });
    expect(codes(facts, 'fill')).toContain('timeBetweenPassesShort');
  });
});
