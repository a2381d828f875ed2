/** A joint as it stands by what was entered and recorded, and the passes that an entry has moved. Rules of our own. */
import { describe, expect, it } from 'vitest';
import { jointState } from '#core/journal/joint-state';
import { jointStateSchema } from '#core/messages/api-journal';
import { jointFacts, passOf, readyJournal, released, rootDone, utcAt, WPS } from '../../support/journal.ts';

describe('the state of a joint', () => {
  it('is complete when every pass is there on both sides, seen here or logged elsewhere', () => {
    const journal = readyJournal();
    journal.add({
      kind: 'loggedElsewhere',
      joint: 'J-1',
      side: 'B',
      pass: 'cap',
      weldedBy: 'Cem Roan',
      how: 'by hand, covered electrode',
      weldedAt: utcAt(100),
    });
    const passes = ['root', 'fill', 'cap'].flatMap((pass, i) =>
      (['A', 'B'] as const)
        .filter(side => pass !== 'cap' || side === 'A')
        .map(side => passOf(`${pass}-${side}`, pass, side, 10 + 20 * i)),
    );
    const state = jointStateSchema.parse(jointState(jointFacts({ entries: journal.entries, passes })));
    expect(state).toMatchObject({ complete: true, nextPass: null, opened: true, onHold: null });
    expect(state.passes.map(one => [one.pass, one.side, one.state])).toEqual([
      ['root', 'A', 'closed'],
      ['root', 'B', 'closed'],
      ['fill', 'A', 'closed'],
      ['fill', 'B', 'closed'],
      ['cap', 'A', 'closed'],
      ['cap', 'B', 'loggedElsewhere'],
    ]);
    const short = jointState(jointFacts({ entries: readyJournal().entries, passes }));
    expect(short).toMatchObject({ complete: false, nextPass: 'cap' });
  });

  it('has no word on completeness without a procedure', () => {
    expect(jointState(jointFacts({ passes: rootDone, procedure: null })).complete).toBeNull();
  });

  it('keeps the latest of each particular, field by field', () => {
    const journal = readyJournal();
    journal.add({ kind: 'jointChanged', joint: 'J-1', station: 'KP 12+400' });
    journal.add({ kind: 'jointChanged', joint: 'J-1', weather: 'wind 6 m/s, tent closed' });
    journal.add({ kind: 'consumables', joint: 'J-1', gasLot: 'G-2' });
    const state = jointState(jointFacts({ entries: journal.entries }));
    expect(state.particulars).toMatchObject({
      station: 'KP 12+400',
      weather: 'wind 6 m/s, tent closed',
      outsideDiameterMm: 610,
    });
    expect([state.wireLot, state.gasLot]).toEqual(['W-1', 'G-2']);
  });

  it('takes a corrected entry out of the state and keeps both in the list', () => {
    const journal = readyJournal();
    const wrong = journal.add({ kind: 'consumables', joint: 'J-1', wireLot: 'W-9' });
    journal.add(
      { kind: 'consumables', joint: 'J-1', wireLot: 'W-6' },
      { corrects: wrong.id, reason: 'label read upside down', author: 'p-2' },
    );
    const state = jointState(jointFacts({ entries: journal.entries }));
    expect(state.wireLot).toBe('W-6');
    expect(state.entries.map(({ id }) => id)).toContain(wrong.id);
  });

  it('keeps the day of the shift that began before midnight', () => {
    const journal = readyJournal();
    const night = journal.add(released('root'), { at: '2026-05-13T01:20:00.000Z', shiftDate: '2026-05-12' });
    const kept = jointState(jointFacts({ entries: journal.entries })).entries.at(-1);
    expect([kept?.at, kept?.shiftDate]).toEqual([night.at, '2026-05-12']);
  });
});

describe('a moved pass', () => {
  const move = (passId: string, joint: string, pass: string, side: 'A' | 'B' = 'A') => ({
    kind: 'passMoved' as const,
    passId,
    joint,
    side,
    pass,
    procedureId: WPS.id,
    procedureRevision: 1,
  });

  it('counts where it was moved and is shown where it came from; the record itself is as it was', () => {
    const journal = readyJournal();
    const entry = journal.add(move('r-a', 'J-2', 'root'), { reason: 'joint number typed wrong' });
    const passes = structuredClone(rootDone);
    const from = jointState(jointFacts({ entries: journal.entries, passes }));
    expect(from.passes.find(one => one.pass === 'root' && one.side === 'A')?.state).toBe('none');
    const moved = {
      passId: 'r-a',
      entryId: entry.id,
      author: 'p-1',
      at: entry.at,
      reason: 'joint number typed wrong',
      from: { joint: 'J-1', side: 'A', pass: 'root' },
      to: { joint: 'J-2', side: 'A', pass: 'root' },
    };
    expect(from.movedOut).toEqual([moved]);
    const to = jointState(jointFacts({ joint: 'J-2', entries: [entry], passes: [passes[0]!] }));
    expect(to.passes.find(one => one.side === 'A')).toMatchObject({
      pass: 'root',
      state: 'closed',
      passIds: ['r-a'],
      movedIn: [moved],
    });
    expect(passes).toEqual(rootDone);
  });

  it('an arc that nothing was assigned to is assigned afterwards', () => {
    const journal = readyJournal();
    journal.add(move('u', 'J-1', 'root', 'B'), { reason: 'assignment forgotten' });
    const state = jointState(jointFacts({ entries: journal.entries, passes: [passOf('u', null, 'A', 12)] }));
    expect(state.passes.find(one => one.pass === 'root' && one.side === 'B')?.passIds).toEqual(['u']);
    expect(state.movedOut).toEqual([]);
  });

  it('within one joint: another pass and side', () => {
    const journal = readyJournal();
    journal.add(move('r-a', 'J-1', 'fill', 'B'), { reason: 'wrong pass selected' });
    const state = jointState(jointFacts({ entries: journal.entries, passes: rootDone }));
    expect(state.passes.filter(one => one.state !== 'none').map(one => [one.pass, one.side])).toEqual([
      ['root', 'B'],
      ['fill', 'B'],
    ]);
  });

  it('moved again by a correction: the last that stands counts', () => {
    const journal = readyJournal();
    const first = journal.add(move('r-a', 'J-2', 'root'), { reason: 'typed wrong' });
    journal.add(move('r-a', 'J-1', 'root'), { reason: 'it was right after all', corrects: first.id });
    const state = jointState(jointFacts({ entries: journal.entries, passes: rootDone }));
    expect(state.movedOut).toEqual([]);
    expect(state.passes[0]).toMatchObject({ pass: 'root', side: 'A', passIds: ['r-a'] });
  });
});
