import { parse } from 'csv-parse/sync';
import { expect, it } from 'vitest';
import { csvLine, csvLines } from '#core/csv/csv-writer';

// RFC 4180 knows commas only; spreadsheets of a region with a decimal comma read semicolons (common practice, no source).
it('with a decimal comma its cells are parted by semicolons, and another reader gets the same', () => {
  const text = [
    ...csvLines(
      { joint: row => row.joint, travel_mm_s: row => row.travel, note: row => row.note },
      [
        { joint: 'J-1', travel: 8.25, note: 'a; b' },
        { joint: 'J-2', travel: -0.5, note: 'a, "b"' },
        { joint: 'J-3', travel: null, note: '=1+2' },
      ],
      'comma',
    ),
  ].join('');
  expect(text).toBe('joint;travel_mm_s;note\r\nJ-1;8,25;"a; b"\r\nJ-2;-0,5;"a, ""b"""\r\nJ-3;;\'=1+2\r\n');
  expect(parse(text, { delimiter: ';', record_delimiter: '\r\n' })).toEqual([
    ['joint', 'travel_mm_s', 'note'],
    ['J-1', '8,25', 'a; b'],
    ['J-2', '-0,5', 'a, "b"'],
    ['J-3', '', "'=1+2"],
  ]);
  expect(csvLine([1.5, 'a; b'])).toBe('1.5,a; b\r\n');
});
