/** Shift days. The hour is common practice, no source; changes of clocks: IANA time zone database (Europe/Berlin, 2026). */
import { describe, expect, it } from 'vitest';
import { daysLater, shiftDateAt, shiftDateOf, shiftSpan } from '#core/shift/shift-day';

const utc = (text: string): number => Date.parse(text);

describe('the shift of a moment', () => {
  it.each([
    [{ year: 2026, month: 5, day: 12, hour: 6 }, '2026-05-12'],
    [{ year: 2026, month: 5, day: 12, hour: 23 }, '2026-05-12'],
    [{ year: 2026, month: 5, day: 13, hour: 5 }, '2026-05-12'],
    [{ year: 2026, month: 1, day: 1, hour: 2 }, '2025-12-31'],
    [{ year: 2028, month: 3, day: 1, hour: 0 }, '2028-02-29'],
  ])('%o is of the shift that began on %s', (wall, date) => {
    expect(shiftDateOf(wall)).toBe(date);
  });

  it('is told by the clocks of a zone', () => {
    expect(shiftDateAt(utc('2026-05-13T05:59:59.999Z'), 'UTC')).toBe('2026-05-12');
    expect(shiftDateAt(utc('2026-05-13T06:00:00Z'), 'UTC')).toBe('2026-05-13');
    // Summer time there is two hours ahead.
    expect(shiftDateAt(utc('2026-05-13T04:00:00Z'), 'Europe/Berlin')).toBe('2026-05-13');
  });
});

describe('the span of a shift', () => {
  it('runs from 06:00 to 06:00', () => {
    expect(shiftSpan('2026-05-12', 'UTC')).toEqual({
      fromMs: utc('2026-05-12T06:00:00Z'),
      toMs: utc('2026-05-13T06:00:00Z'),
    });
  });

  it('is an hour shorter or longer in the night clocks are changed', () => {
    const hours = (date: string): number => {
      const { fromMs, toMs } = shiftSpan(date, 'Europe/Berlin')!;
      return (toMs - fromMs) / 3_600_000;
    };
    expect(['2026-03-27', '2026-03-28', '2026-10-24'].map(hours)).toEqual([24, 23, 25]);
  });

  it('holds exactly the moments that belong to it', () => {
    for (const zone of ['UTC', 'Europe/Berlin', 'Asia/Kathmandu']) {
      const { fromMs, toMs } = shiftSpan('2026-03-28', zone)!;
      expect([fromMs - 1, fromMs, toMs - 1, toMs].map(at => shiftDateAt(at, zone))).toEqual([
        '2026-03-27',
        '2026-03-28',
        '2026-03-28',
        '2026-03-29',
      ]);
    }
  });

  it('of a date that does not exist is none', () => {
    expect(shiftSpan('2026-02-30', 'UTC')).toBeNull();
    expect(shiftSpan('today', 'UTC')).toBeNull();
  });

  it('days before and after', () => {
    expect(daysLater('2026-03-01', -1)).toBe('2026-02-28');
    expect(daysLater('2026-12-31', 1)).toBe('2027-01-01');
  });
});
