/** The one CSV writer. Form: RFC 4180, clauses beside the checks; formula guard: OWASP, CSV Injection. */
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { csvCell, csvLine, csvLines, rounded, withoutGuard } from '#core/csv/csv-writer';

describe('a cell', () => {
  it.each([
    [null, ''],
    [undefined, ''],
    [Number.NaN, ''],
    [Number.POSITIVE_INFINITY, ''],
    [0, '0'],
    [-0, '0'],
    [-7.5, '-7.5'],
    [true, 'true'],
    [false, 'false'],
    ['', ''],
  ])('%s is written %o: unknown is empty, never 0', (value, text) => {
    expect(csvCell(value)).toBe(text);
  });

  // The example records of RFC 4180, 2.5 to 2.7.
  it.each([
    ['b\r\nbb', '"b\r\nbb"'],
    ['b"bb', '"b""bb"'],
    ['b,bb', '"b,bb"'],
  ])('%j is written %j', (value, text) => {
    expect(csvCell(value)).toBe(text);
  });

  // OWASP, CSV Injection: the characters a cell must not begin with.
  it.each(['=1+1', '+1', '-1', '@SUM(A1)', '\tx', '\rx', '\nx', "'=1", "''@x"])('%j is no formula', text => {
    const [[read]] = parse(csvLine([text])) as [[string]];
    expect(read).toBe(`'${text}`);
    expect(withoutGuard(read)).toBe(text);
  });

  it.each(["it's", "'quoted'", 'J-001', 'a=b', '12 o’clock'])('%j is left as it is', text => {
    expect(csvCell(text)).toBe(text);
    expect(withoutGuard(text)).toBe(text);
  });
});

it('any text comes back through another reader, byte for byte', () => {
  fc.assert(
    fc.property(
      fc.array(fc.array(fc.string({ unit: 'binary' }), { minLength: 2, maxLength: 4 }), { maxLength: 5 }),
      rows => {
        const width = rows[0]?.length ?? 0;
        const even = rows.filter(row => row.length === width);
        const text = even.map(row => csvLine(row)).join('');
        const read = (parse(text, { record_delimiter: '\r\n' }) as string[][]).map(row =>
          row.map(withoutGuard),
        );
        expect(read).toEqual(even);
      },
    ),
  );
});

it('lines have the header first and CRLF after each (2.1 to 2.3)', () => {
  const columns = {
    name: (row: [string, number | null]) => row[0],
    speed_mm_s: (row: [string, number | null]) => row[1],
  };
  expect([
    ...csvLines(
      columns,
      [['a', 1.5] as const, ['b', null] as const].map(row => [...row] as [string, number | null]),
    ),
  ]).toEqual(['name,speed_mm_s\r\n', 'a,1.5\r\n', 'b,\r\n']);
});

it.each([
  [0.1 + 0.2, 6, 0.3],
  [null, 3, null],
  [Number.NaN, 3, null],
  [1 / 3, 2, 0.33],
])('%s to %i decimals is %s', (value, decimals, expected) => {
  expect(rounded(value, decimals)).toBe(expected);
});
