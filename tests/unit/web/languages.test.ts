import { describe, expect, it } from 'vitest';
import { formats } from '../../../dashboard/web/text/format.ts';
import { decimalSignOf, preferredLanguage } from '../../../dashboard/web/text/languages.ts';

describe('the language of a device', () => {
  it.each([
    [['es-MX', 'en'], 'es'],
    [['de-DE', 'es', 'en'], 'es'],
    [['en-US'], 'en'],
    [['fr'], 'en'],
    [[], 'en'],
  ] as const)('%j is shown in %s', (preferred, language) =>
    expect(preferredLanguage([...preferred])).toBe(language),
  );

  // Unicode CLDR: decimal of es is a comma, of es-MX, es-US and en a point.
  it.each([
    ['es', ['es-ES'], 'comma'],
    ['es', ['es-MX'], 'point'],
    ['es', ['es-US'], 'point'],
    ['es', ['es-AR'], 'comma'],
    ['es', ['en-US'], 'comma'],
    ['en', ['en-GB'], 'point'],
    ['en', ['es-ES'], 'point'],
  ] as const)('%s in %j writes a %s', (language, preferred, sign) =>
    expect(decimalSignOf(language, [...preferred])).toBe(sign),
  );
});

describe('formats in Spanish', () => {
  const es = formats('es', 'America/Mexico_City', { decimal: 'comma', units: 'inch' });

  it('writes numbers with the sign set, without thousands', () => {
    expect(es.fixed(12345.678, 1)).toBe('12345,7');
    expect(es.signed('−0.25')).toBe('−0,25');
    expect(es.fixed(null, 1)).toBe('– –');
    expect(formats('es', 'UTC').fixed(1.5, 1)).toBe('1.5');
  });

  it('writes a value with its unit, converted exactly', () => {
    // 1 in = 25.4 mm, exact.
    expect(es.measure('length', 1240)).toBe('48,8 in');
    expect(es.measure('preheatTemperature', 120)).toBe('248 °F');
    expect(es.measure('travelSpeed', null)).toBe('– –');
  });

  it('writes times by the 24 h clock of the zone, months in Spanish (CLDR es)', () => {
    const at = Date.UTC(2026, 0, 31, 15, 4, 9);
    expect(es.timeOfDay(at)).toBe('09:04:09');
    expect(es.moment(at)).toBe('31 ene, 09:04');
    expect(formats('en', 'UTC').moment(at)).toBe('31 Jan, 15:04');
  });

  it('has the plurals of Spanish (CLDR: one for 1)', () => {
    const forms = { one: 'pasada', other: 'pasadas' };
    expect([0, 1, 2].map(n => es.plural(n, forms))).toEqual(['0 pasadas', '1 pasada', '2 pasadas']);
  });
});
