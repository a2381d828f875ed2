/** The table of rigs of a shift as texts. Invented shifts; figures by hand beside each check. */
import { describe, expect, it } from 'vitest';
import type { PassMessage } from '#core/messages/pass';
import type { ShiftFacts } from '#core/shift/shift-facts';
import { shiftReport } from '#core/shift/shift-report';
import { parseRoute, routeUrl } from '../../../dashboard/web/routes.ts';
import { enShift } from '../../../dashboard/web/text/en-shift.ts';
import { formats } from '../../../dashboard/web/text/format.ts';
import { rigRows } from '../../../dashboard/web/views/shift/rig-rows.ts';
import { shiftMoment } from '../../../dashboard/web/views/shift/shift-time.ts';
import { passOf, utcAt } from '../../support/journal.ts';

const rig = (name: string) => ({
  site: 'spread-1',
  rig: name,
  entries: [],
  channels: null,
  sinceSpool: [],
  alarms: null,
});

function rowsOf(passes: readonly PassMessage[]) {
  const facts: ShiftFacts = {
    date: '2026-05-12',
    zone: 'UTC',
    fromUtc: '2026-05-12T06:00:00.000Z',
    toUtc: '2026-05-13T06:00:00.000Z',
    now: utcAt(24 * 60),
    site: null,
    sites: ['spread-1'],
    origin: 'simulated',
    origins: ['simulated'],
    passes: passes.map(message => ({
      message,
      work: { joint: message.joint, side: message.side, pass: message.pass.procedurePass },
      changes: 0,
    })),
    joints: [],
    rigs: [rig('rig-a'), rig('rig-b')],
    dashboardAlarms: null,
    alarmsReason: 'the log of alarms begins later',
    nameOf: id => id,
  };
  const shift = shiftReport(facts);
  return rigRows(shift, enShift, formats('en', 'UTC'));
}

describe('the table of rigs', () => {
  it('shows a dash for what is not known, and its reason once under the table', () => {
    const { rows, notes } = rowsOf([]);
    const [first, second] = rows;
    expect(first?.cells.arc.text).toBe('– –');
    expect(notes[first!.cells.arc.notes[0]! - 1]).toBe('no pass is recorded in this shift');
    expect(first?.cells.alarms).toEqual(second?.cells.alarms);
    expect(new Set(notes).size).toBe(notes.length);
    // Nothing that is unknown reads as a number.
    const unknown = [
      'arc',
      'factor',
      'wire',
      'wireKg',
      'deposition',
      'gas',
      'spool',
      'alarms',
      'before',
    ] as const;
    for (const column of unknown) {
      expect(first?.cells[column].text).toBe('– –');
      expect(first?.cells[column].notes).toHaveLength(1);
    }
  });

  it('says of how many passes a sum is', () => {
    const known = passOf('a', 'root', 'A', 10);
    const passes = [
      { ...known, pass: { ...known.pass, wireUsedM: 40, arcTimeS: 300 } },
      passOf('b', 'root', 'B', 30),
    ];
    const { rows, notes } = rowsOf(passes);
    const { wire, arc, factor } = rows[0]!.cells;
    expect(wire.text).toBe('40 in 1 of 2');
    expect(notes[wire.notes[0]! - 1]).toBe('no wire feed is measured');
    // 300 and 50 s of arc from minute 10 to 40: 350 of 1800 s.
    expect([arc.text, factor.text]).toEqual(['5:50 of 30:00', '19.4 %']);
  });
});

describe('the address of a shift', () => {
  it.each(['#/shift', '#/shift?date=2026-05-12', '#/shift?date=2026-05-12&site=spread-1&origin=simulated'])(
    '%s leads there and back',
    hash => {
      expect(routeUrl(parseRoute(hash))).toBe(hash);
    },
  );

  it('leaves out what is no date and no origin', () => {
    expect(routeUrl(parseRoute('#/shift?date=today&origin=play'))).toBe('#/shift');
  });
});

it('times are those of the shift’s zone, with the day where it is another', () => {
  expect(shiftMoment('2026-05-12T14:05:00.000Z', 'UTC', '2026-05-12')).toBe('14:05');
  expect(shiftMoment('2026-05-13T04:00:00.000Z', 'UTC', '2026-05-12')).toBe('13 May 04:00');
  expect(shiftMoment('2026-05-12T22:30:00.000Z', 'Europe/Berlin', '2026-05-12')).toBe('13 May 00:30');
});
