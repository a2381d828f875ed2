/**
 * Local times of tables. Clock changes: Directive 2000/84/EC, articles 2 and 3 (last Sunday of March and of October,
 * 01:00 UTC); IANA time zone database for the other zones (Asia/Kathmandu +05:45 since 1986; America/St_Johns −03:30;
 * Africa/Cairo 2024: forward at 00:00 on the last Friday of April; America/Havana: back at 01:00).
 */
import { describe, expect, it } from 'vitest';
import { isZone, localDay, localTime, utcTime } from '#core/csv/local-time';

const HOUR = 3_600_000;
const ms = (utc: string): number => Date.parse(utc);

describe('local time', () => {
  it.each([
    ['UTC', '2026-05-12T08:00:00.000Z', '2026-05-12T08:00:00.000+00:00'],
    ['Europe/Berlin', '2026-03-29T00:59:59.999Z', '2026-03-29T01:59:59.999+01:00'],
    ['Europe/Berlin', '2026-03-29T01:00:00.000Z', '2026-03-29T03:00:00.000+02:00'],
    ['Europe/Berlin', '2026-10-25T00:30:00.000Z', '2026-10-25T02:30:00.000+02:00'],
    ['Europe/Berlin', '2026-10-25T01:30:00.000Z', '2026-10-25T02:30:00.000+01:00'],
    ['Asia/Kathmandu', '2026-05-12T20:00:00.000Z', '2026-05-13T01:45:00.000+05:45'],
    ['America/St_Johns', '2026-01-12T02:00:00.123Z', '2026-01-11T22:30:00.123-03:30'],
  ])('in %s %s is %s', (zone, utc, local) => {
    const shown = localTime(zone)(ms(utc));
    expect(shown).toBe(local);
    // The same moment, by another reader.
    expect(Date.parse(shown)).toBe(ms(utc));
  });

  it('goes back and forth over a change of the clock', () => {
    const shown = localTime('Europe/Berlin');
    const change = ms('2026-10-25T01:00:00Z');
    for (const at of [change + 1, change - 1, change, change - HOUR]) {
      expect(Date.parse(shown(at))).toBe(at);
    }
  });

  it.each(['Mars/Base', '+02:00', '', 'Europe/Berlin ', '../etc', 'UTC\r\n'])('%j is no zone', zone => {
    expect(isZone(zone)).toBe(false);
  });

  it.each(['UTC', 'Europe/Berlin', 'America/Argentina/Buenos_Aires', 'Etc/GMT+5'])('%s is a zone', zone => {
    expect(isZone(zone)).toBe(true);
  });
});

describe('a local day', () => {
  it.each([
    ['2026-05-12', 'UTC', '2026-05-12T00:00:00.000Z', 24],
    ['2026-05-12', 'Europe/Berlin', '2026-05-11T22:00:00.000Z', 24],
    ['2026-03-29', 'Europe/Berlin', '2026-03-28T23:00:00.000Z', 23],
    ['2026-10-25', 'Europe/Berlin', '2026-10-24T22:00:00.000Z', 25],
    // There was no 00:00 on this day.
    ['2024-04-26', 'Africa/Cairo', '2024-04-25T22:00:00.000Z', 23],
    // There were two.
    ['2025-11-02', 'America/Havana', '2025-11-02T04:00:00.000Z', 25],
  ])('%s in %s begins at %s and has %i hours', (date, zone, from, hours) => {
    const day = localDay(date, zone)!;
    expect(utcTime(day.fromMs)).toBe(from);
    expect((day.toMs - day.fromMs) / HOUR).toBe(hours);
  });

  it.each(['2026-02-30', '2026-13-01', 'today', '2026-1-1', ''])('%j is no date', date => {
    expect(localDay(date, 'UTC')).toBeNull();
  });
});
