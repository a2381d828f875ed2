import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { durationText, formats, oClockText } from '../../../dashboard/web/text/format.ts';

const WEB = join(import.meta.dirname, '../../../dashboard/web');

describe('numbers and times', () => {
  const format = formats('en', 'Europe/Athens');

  it('dashes what is unknown, never 0', () => {
    expect(format.fixed(null, 1)).toBe('– –');
    expect(durationText(null)).toBe('– –');
    expect(oClockText(null)).toBe('– –');
    expect(format.fixed(0, 1)).toBe('0.0');
    // A reading just below zero.
    expect(format.fixed(-0.04, 1)).toBe('0.0');
  });

  it('shows arc time as a running clock does', () => {
    expect([0, 59.9, 71, 3599, 3725].map(durationText)).toEqual(['0:00', '0:59', '1:11', '59:59', '1:02:05']);
  });

  it('shows wire feed in m/min: 10.3 m/min is 171.67 mm/s (exact: 1000/60)', () => {
    expect(format.units.wireFeedSpeed.shown(10_300 / 60)).toBeCloseTo(10.3, 9);
  });

  it('says positions as the trade does (common practice, no source)', () => {
    expect([12, 3, 4.5, 0.25].map(oClockText)).toEqual(['12:00', '3:00', '4:30', '12:15']);
  });

  it('writes the time of day in the zone asked for', () => {
    expect(format.timeOfDay(Date.UTC(2026, 6, 1, 11, 3, 22))).toBe('14:03:22');
    expect(format.zone).toBe('Europe/Athens');
  });

  it('has plurals', () => {
    const forms = { one: 'restart', other: 'restarts' };
    expect([0, 1, 2].map(n => format.plural(n, forms))).toEqual(['0 restarts', '1 restart', '2 restarts']);
  });
});

describe('every text of the screens', () => {
  it('comes from the catalogue: no words stand between tags', () => {
    const files = readdirSync(WEB, { recursive: true, encoding: 'utf8' }).filter(file =>
      file.endsWith('.tsx'),
    );
    expect(files.length).toBeGreaterThan(10);
    const words = files.flatMap(file => {
      const source = readFileSync(join(WEB, file), 'utf8');
      return [...source.matchAll(/>\s*([A-Za-z][a-z]+[^<>{}=;]*)\s*<\//g)].map(
        match => `${file}: ${match[1]}`,
      );
    });
    expect(words).toEqual([]);
  });
});
