/** The pass table as CSV. Form: RFC 4180, clauses beside the checks; formula guard: OWASP, CSV Injection. */
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { PASS_TABLE_COLUMNS, passTableCsv, readPassTable } from '#core/procedure/pass-table';
import { type ProcedurePass, procedurePassSchema } from '#core/procedure/procedure';

const PASSES: ProcedurePass[] = [
  {
    name: 'root, "shoe"',
    type: 'root',
    program: 3,
    process: '135',
    wire: { diameterMm: 1, classification: 'G 50 4 M21', lotRule: '=one lot' },
    polarity: 'electrodePositive',
    technique: 'stringer',
    torchAngleDegrees: -5,
    limits: [
      {
        quantity: 'weldingCurrent',
        unit: 'A',
        basis: 'window',
        min: 166,
        nominal: 180,
        max: 194,
        authority: '-project rule',
      },
      {
        quantity: 'travelSpeed',
        unit: '[in_i]/min',
        basis: 'pass',
        nominal: 27,
        tolerancePercent: 10,
        clockZone: { from: 5, to: 7 },
      },
    ],
  },
  { name: 'cap', type: 'cap', limits: [] },
].map(pass => procedurePassSchema.parse(pass));

const rowsOf = (csv: string): string[][] => parse(csv);

describe('pass table', () => {
  it('comes back as it went', () => {
    expect(readPassTable(rowsOf(passTableCsv(PASSES)))).toEqual({ ok: true, passes: PASSES });
  });

  it('has a header, CRLF after every line (RFC 4180, 2.1–2.3) and as many cells in each (2.4)', () => {
    const csv = passTableCsv(PASSES);
    expect(csv.startsWith(`${PASS_TABLE_COLUMNS.join(',')}\r\n`)).toBe(true);
    expect(csv.endsWith('\r\n')).toBe(true);
    expect(csv.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
    for (const row of rowsOf(csv)) expect(row).toHaveLength(PASS_TABLE_COLUMNS.length);
    // Quotes are doubled inside quotes (2.7).
    expect(csv).toContain('"root, ""shoe"""');
  });

  it('no text is a formula to a spreadsheet; a negative number stays a number', () => {
    const [, row] = rowsOf(passTableCsv(PASSES));
    const cells = Object.fromEntries(PASS_TABLE_COLUMNS.map((column, i) => [column, row?.[i]]));
    expect(cells).toMatchObject({
      wire_lot_rule: "'=one lot",
      authority: "'-project rule",
      torch_angle_degrees: '-5',
    });
  });

  const header = 'pass,type,quantity,unit,basis,min,max';
  const problem = (csv: string, decimalComma = false): string => {
    const read = readPassTable(parse(csv, { relax_column_count: true }) as string[][], decimalComma);
    return read.ok ? 'read' : read.problem;
  };

  it.each<[string, string, RegExp]>([
    ['nothing', '', /its first line names the columns/],
    ['only a header', header, /names no pass/],
    ['unknown column', `${header},colour\nroot,root,,,,,,blue`, /^Line 1: there is no column "colour"/],
    ['column twice', 'pass,type,type\nroot,root,root', /^Line 1: the column type stands twice/],
    ['no pass column', 'type\nroot', /^Line 1: the column pass is missing/],
    ['cells missing', `${header}\nroot,root`, /^Line 2: 2 cells where the first line names 7 columns/],
    [
      'not a number',
      `${header}\nroot,root,weldingCurrent,A,pass,abc,200`,
      /^Line 2, column min: "abc" is not a number/,
    ],
    ['hexadecimal', `${header}\nroot,root,weldingCurrent,A,pass,0x10,200`, /^Line 2, column min/],
    ['no pass named', `${header}\n,root,weldingCurrent,A,pass,1,2`, /^Line 2, column pass/],
    [
      'two types of one pass',
      `${header}\nroot,root,,,,,\nroot,fill,,,,,`,
      /^Line 3, column type: pass "root" has "root" there in line 2/,
    ],
    ['limit of nothing', `${header}\nroot,root,,A,pass,1,2`, /^Line 2, column quantity/],
    [
      'unknown quantity',
      `${header}\nroot,root,colour,A,pass,1,2`,
      /^Pass "root" \(from line 2\), limits.0.quantity/,
    ],
    ['min above max', `${header}\nroot,root,weldingCurrent,A,pass,3,2`, /min 3 is not below max 2/],
    ['no unit', `${header}\nroot,root,weldingCurrent,,pass,1,2`, /limits.0.unit/],
  ])('%s is refused with line and column', (_name, csv, expected) => {
    expect(problem(csv)).toMatch(expected);
  });

  it('takes decimal commas where told, and units as people write them', () => {
    const read = readPassTable(
      [
        ['pass', 'type', 'quantity', 'unit', 'basis', 'min'],
        ['root', 'root', 'wireFeedSpeed', 'in/min', 'pass', '350,5'],
      ],
      true,
    );
    expect(read).toMatchObject({ ok: true, passes: [{ limits: [{ unit: '[in_i]/min', min: 350.5 }] }] });
    expect(problem(`${header}\nroot,root,weldingCurrent,A,pass,"1,5",2`)).toMatch(/column min/);
  });
});
