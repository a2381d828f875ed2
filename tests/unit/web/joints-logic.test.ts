import { describe, expect, it } from 'vitest';
import type { Entry } from '#core/journal/entry';
import type { JointState } from '#core/messages/api-journal';
import { holdsOf } from '../../../dashboard/web/data/holds.ts';
import { parseRoute, routeUrl } from '../../../dashboard/web/routes.ts';
import { assignNotes } from '../../../dashboard/web/views/assign/assign-notes.ts';
import { typedClock } from '../../../dashboard/web/views/joints/clock-typed.ts';
import {
  filterQuery,
  parseJointFilter,
  unknownInAddress,
} from '../../../dashboard/web/views/joints/joint-filter.ts';
import { jointWork } from '../../../dashboard/web/views/joints/pass-work.ts';
import {
  type QualificationEntry,
  qualificationWarning,
} from '../../../dashboard/web/views/joints/qualification-warnings.ts';
import { PROCEDURE } from '../../support/dashboard-fixtures.ts';
import { passAt } from '../../support/fake-joints.ts';

let number = 0;
function entry<B extends Entry['body']>(body: B, rest: Partial<Entry> = {}): Entry & { readonly body: B } {
  number += 1;
  return {
    ...{ number, id: `e-${number}`, at: '2026-05-12T14:00:00.000Z', origin: 'simulated' },
    ...{ author: 'p-1', shiftDate: '2026-05-12', reason: null, corrects: null },
    ...rest,
    body,
  } as Entry & { readonly body: B };
}

describe('addresses of joints', () => {
  it.each([
    '#/joints',
    '#/joints?find=J+04',
    '#/joints?station=12%2B400&day=2026-05-12&rig=spread-1%2Frig-3&procedure=example-610.1&deviations=yes&disposition=none&incomplete=yes',
    '#/open-joint?joint=J-0413',
    '#/joints/TI%2F12%20A',
    '#/joints/J-0412/enter/temperature?pass=fill+1',
    '#/joints/J-0412/enter/hold?corrects=e-7',
    '#/passes/s%3A5/move?joint=J-0412',
    '#/rigs/spread-1/rig-3/event',
    '#/rigs/spread-1/rig-3/event?corrects=e-9',
  ])('%s is read and written alike', hash => {
    expect(routeUrl(parseRoute(hash))).toBe(hash);
  });

  it('leads a finding’s link to the pass it names, and an unknown task to the joint', () => {
    expect(parseRoute('#/joints/J-1/enter/move?passId=s%3A5')).toEqual({
      view: 'movePass',
      passId: 's:5',
      joint: 'J-1',
    });
    expect(parseRoute('#/joints/J-1/enter/nothing')).toEqual({ view: 'joint', joint: 'J-1' });
    expect(parseRoute('#/rigs/spread-1/rig-3/assign')).toMatchObject({ view: 'assign', rig: 'rig-3' });
  });
});

describe('places typed as o’clock', () => {
  it.each([
    ['3', 3],
    ['4:30', 4.5],
    ['4,5', 4.5],
    ['12', 12],
    ['12:15', 0.25],
    ['0', null],
    ['13', null],
    ['3:75', null],
    ['top', null],
  ])('%s is %s', (typed, clock) => {
    expect(typedClock(typed)).toBe(clock);
  });
});

describe('holds', () => {
  const on = entry({ kind: 'hold', joint: 'J-1', on: true }, { reason: 'crack seen' });
  const other = entry({ kind: 'hold', joint: 'J-2', on: true }, { reason: 'ruling' });
  const off = entry({ kind: 'hold', joint: 'J-2', on: false }, { reason: 'ruled' });

  it('are those whose last entry says so, in whatever order they came', () => {
    expect([...holdsOf([off, other, on]).keys()]).toEqual(['J-1']);
    expect(holdsOf([on]).get('J-1')?.reason).toBe('crack seen');
  });

  it('do not count an entry that was corrected', () => {
    const corrected = entry(
      { kind: 'hold', joint: 'J-1', on: false },
      { corrects: on.id, reason: 'wrong joint' },
    );
    expect(holdsOf([on, corrected]).size).toBe(0);
  });
});

describe('qualification of an operator', () => {
  const held = (process: string, expires: string, rest: Partial<Entry> = {}): QualificationEntry =>
    entry({ kind: 'qualification', person: 'p-1', process, range: 'all positions', expires }, rest);

  it('warns where none is entered, none is good any more, or none is for the process', () => {
    expect(qualificationWarning([], 'p-1', '135', '2026-05-12')).toEqual({ kind: 'none' });
    const old = held('135', '2026-05-11');
    expect(qualificationWarning([old], 'p-1', '135', '2026-05-12')).toEqual({
      kind: 'expired',
      on: '2026-05-11',
    });
    expect(qualificationWarning([old], 'p-1', '136', '2026-05-01')).toEqual({
      kind: 'otherProcess',
      processes: ['135'],
    });
  });

  it('is good through the day it names, and by any one that is good', () => {
    const [old, now] = [held('135', '2026-05-11'), held('135', '2026-05-12')];
    expect(qualificationWarning([now, old], 'p-1', '135', '2026-05-12')).toBeNull();
    expect(qualificationWarning([now], 'p-2', null, '2026-05-12')).toEqual({ kind: 'none' });
    const corrected = held('135', '2025-01-01', { corrects: now.id, reason: 'misread' });
    expect(qualificationWarning([now, corrected], 'p-1', '135', '2026-05-12')).toMatchObject({
      kind: 'expired',
    });
  });
});

const standing = (
  pass: string,
  side: 'A' | 'B',
  part: Partial<JointState['passes'][number]> = {},
): JointState['passes'][number] => ({
  ...{ pass, side, state: 'none', passIds: [], released: null, movedIn: [], startUtc: null, endUtc: null },
  ...part,
});

const stateOf = (part: Partial<JointState>): JointState => ({
  joint: 'J-0412',
  origin: 'simulated',
  opened: true,
  onHold: null,
  disposition: null,
  particulars: {},
  wireLot: null,
  gasLot: null,
  polarity: null,
  crew: null,
  procedure: { id: PROCEDURE.id, revision: 1, state: 'approved' },
  passes: [],
  movedOut: [],
  complete: false,
  nextPass: null,
  findings: [],
  entries: [],
  ...part,
});

describe('passes of a joint by layer and side', () => {
  const root = passAt('s:1', 0, { name: 'root' });
  const hot = passAt('s:2', 25, { name: 'hot' });
  const stray = passAt('s:3', 40, { name: null, side: null });
  const elsewhere = entry({
    ...{ kind: 'loggedElsewhere' as const, joint: 'J-0412', side: null, pass: 'fill 1' },
    ...{ weldedBy: 'stamp 9', how: 'hand', weldedAt: '2026-05-12T15:00:00.000Z' },
  });
  const state = stateOf({
    passes: [
      standing('root', 'A', { state: 'closed', passIds: ['s:1'] }),
      standing('root', 'B'),
      standing('hot', 'A', { state: 'closed', passIds: ['s:2'] }),
      standing('hot', 'B'),
      standing('fill 1', 'A', { state: 'loggedElsewhere' }),
      standing('fill 1', 'B', { state: 'loggedElsewhere' }),
    ],
    entries: [elsewhere],
  });
  const work = jointWork(state, ['root', 'hot', 'fill 1'], [hot, stray, root]);

  it('counts what is there, and says the time between two passes of a side', () => {
    expect([work.done, work.wanted]).toEqual([4, 6]);
    const [side] = work.layers[1]?.sides ?? [];
    expect(side?.recorded[0]).toMatchObject({ gapS: 900, gapAfter: 'root' });
    expect(work.layers[2]?.sides.map(one => one.elsewhere.length)).toEqual([1, 1]);
  });

  it('keeps a pass without a side apart, and one that was moved away', () => {
    expect(work.unplaced).toEqual([stray]);
    const move = {
      ...{
        passId: 's:2',
        entryId: 'e-9',
        author: 'p-1',
        at: '2026-05-12T15:00:00.000Z',
        reason: 'typed wrong',
      },
      from: { joint: 'J-0412', side: 'A' as const, pass: 'hot' },
      to: { joint: 'J-0413', side: 'A' as const, pass: 'hot' },
    };
    const moved = jointWork(
      { ...state, passes: state.passes.slice(0, 2), movedOut: [move] },
      ['root'],
      [root, hot],
    );
    expect(moved.movedAway).toEqual([{ message: hot, move }]);
    expect(moved.unplaced).toEqual([]);
  });
});

describe('beside an assignment', () => {
  const chosen = (side: 'A' | 'B', pass: string) => ({ side, pass, procedure: PROCEDURE });

  it('says what speaks against it: hold, done already, before its predecessor, no release', () => {
    const state = stateOf({
      onHold: { reason: 'ruling', author: 'p-1', at: '2026-05-12T14:00:00.000Z' },
      opened: false,
      passes: [standing('root', 'A', { state: 'closed', released: null }), standing('root', 'B')],
    });
    expect(assignNotes(state, chosen('A', 'root'))).toEqual([
      'This joint is ON HOLD: ruling',
      'This joint is not opened: its pipes, lots and readings are not entered.',
      'root, side A, is done already.',
    ]);
    expect(assignNotes({ ...state, onHold: null, opened: true }, chosen('A', 'hot'))).toEqual([
      'Layer root has no visual release.',
    ]);
    expect(assignNotes({ ...state, onHold: null, opened: true }, chosen('B', 'fill 1'))).toEqual([
      'fill 1 before root: the pass before it is missing on this side.',
    ]);
  });

  it('says nothing where nothing does', () => {
    expect(assignNotes(stateOf({}), chosen('A', 'root'))).toEqual([]);
    const other = stateOf({ procedure: { id: 'other', revision: 3, state: 'approved' } });
    expect(assignNotes(other, chosen('A', 'root'))).toEqual(['This joint was opened under other rev. 3.']);
  });
});

describe('filters of the list of joints', () => {
  it('are what the server asks for, a day by the clocks of the place', () => {
    expect(filterQuery(' J-04 ', { day: '2026-03-29', procedure: 'example-610.2' }, 'Europe/Berlin')).toEqual(
      {
        find: 'J-04',
        procedureId: 'example-610',
        procedureRevision: '2',
        // The clocks of Berlin go forward on this day (IANA time zone database): it has 23 hours.
        fromUtc: '2026-03-28T23:00:00.000Z',
        toUtc: '2026-03-29T22:00:00.000Z',
      },
    );
    expect(filterQuery('', {}, 'UTC')).toEqual({});
  });

  it('are nothing where an address holds nonsense', () => {
    const query = new URLSearchParams(
      'day=today&rig=a&deviations=some&disposition=good&incomplete=&procedure=A+b',
    );
    expect(parseJointFilter(query)).toEqual({});
    expect(unknownInAddress(query)).toEqual([
      'day=today',
      'rig=a',
      'deviations=some',
      'disposition=good',
      'procedure=A b',
    ]);
    // A date that does not exist is nonsense as well; a word that is no filter is said too.
    expect(unknownInAddress(new URLSearchParams('find=J&day=2026-02-30&deviations=yes&welder=7'))).toEqual([
      'day=2026-02-30',
      'welder=7',
    ]);
  });
});
