/**
 * The pass table of a procedure as rows of text: one row a limit, a pass without limits one row. RFC 4180 when written.
 * Fields of the pass stand in each of its rows. Empty is not given, never zero.
 */
import { csvLines, withoutGuard } from '../csv/csv-writer.ts';
import { unitFromText } from '../units/unit-label.ts';
import { type Limit, type ProcedurePass, procedurePassSchema } from './procedure.ts';

/** Columns in order; names carry the unit, limits name theirs in `unit` (a UCUM code). */
export const PASS_TABLE_COLUMNS = [
  'pass',
  'type',
  'program',
  'process',
  'transfer_mode',
  'polarity',
  'wire_diameter_mm',
  'wire_classification',
  'wire_lot_rule',
  'gas',
  'direction',
  'technique',
  'torch_angle_degrees',
  'quantity',
  'unit',
  'basis',
  'min',
  'nominal',
  'max',
  'tolerance_percent',
  'exact',
  'clock_from_h',
  'clock_to_h',
  'authority',
] as const;
export type PassTableColumn = (typeof PASS_TABLE_COLUMNS)[number];
type Row = Partial<Record<PassTableColumn, string | number>>;

const WRITTEN = Object.fromEntries(PASS_TABLE_COLUMNS.map(column => [column, (row: Row) => row[column]]));

/** CRLF between lines and after the last. */
export function passTableCsv(passes: readonly ProcedurePass[]): string {
  return [...csvLines(WRITTEN, passes.flatMap(rowsOf))].join('');
}

function rowsOf(pass: ProcedurePass): Row[] {
  const own = given({
    pass: pass.name,
    type: pass.type,
    program: pass.program,
    process: pass.process,
    transfer_mode: pass.transferMode,
    polarity: pass.polarity,
    wire_diameter_mm: pass.wire?.diameterMm,
    wire_classification: pass.wire?.classification,
    wire_lot_rule: pass.wire?.lotRule,
    gas: pass.gas,
    direction: pass.direction,
    technique: pass.technique,
    torch_angle_degrees: pass.torchAngleDegrees,
  });
  if (pass.limits.length === 0) return [own];
  return pass.limits.map(limit => ({ ...own, ...limitRow(limit) }));
}

const limitRow = (limit: Limit): Row =>
  given({
    quantity: limit.quantity,
    unit: limit.unit,
    basis: limit.basis,
    min: limit.min,
    nominal: limit.nominal,
    max: limit.max,
    tolerance_percent: limit.tolerancePercent,
    exact: limit.exact,
    clock_from_h: limit.clockZone?.from,
    clock_to_h: limit.clockZone?.to,
    authority: limit.authority,
  });

function given(row: { readonly [K in PassTableColumn]?: string | number | undefined }): Row {
  return Object.fromEntries(Object.entries(row).filter(([, value]) => value !== undefined)) as Row;
}

export type PassTableAnswer =
  | { readonly ok: true; readonly passes: ProcedurePass[] }
  /** One sentence naming line and column. */
  | { readonly ok: false; readonly problem: string };

/**
 * Rows of text as they were split, the header first. Unknown columns are refused, missing ones are empty.
 * `decimalComma`: numbers are written as spreadsheets of some languages write them.
 */
export function readPassTable(rows: readonly (readonly string[])[], decimalComma = false): PassTableAnswer {
  const [header, ...body] = rows;
  if (!header) return refuse('The table is empty: its first line names the columns.');
  const names = header.map(name => name.trim());
  const unknown = names.find(name => !PASS_TABLE_COLUMNS.includes(name as PassTableColumn));
  if (unknown !== undefined) {
    return refuse(
      `Line 1: there is no column "${unknown.slice(0, 40)}"; the columns are ${PASS_TABLE_COLUMNS.join(', ')}.`,
    );
  }
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) return refuse(`Line 1: the column ${twice} stands twice.`);
  const lacking = (['pass', 'type'] as const).find(name => !names.includes(name));
  if (lacking !== undefined) return refuse(`Line 1: the column ${lacking} is missing.`);
  const passes = new Map<string, { line: number; row: Row; limits: unknown[] }>();
  for (const [i, cells] of body.entries()) {
    const line = i + 2;
    if (cells.length !== names.length) {
      return refuse(
        `Line ${line}: ${cells.length} cells where the first line names ${names.length} columns.`,
      );
    }
    const read = readRow(names as PassTableColumn[], cells, line, decimalComma);
    if ('problem' in read) return refuse(read.problem);
    const problem = take(passes, read.row, line);
    if (problem !== null) return refuse(problem);
  }
  return assemble(passes);
}

const refuse = (problem: string): PassTableAnswer => ({ ok: false, problem });

const NUMBERS: ReadonlySet<PassTableColumn> = new Set([
  'program',
  'wire_diameter_mm',
  'torch_angle_degrees',
  'min',
  'nominal',
  'max',
  'tolerance_percent',
  'exact',
  'clock_from_h',
  'clock_to_h',
]);
const NUMBER = /^[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?$/i;

function readRow(
  names: readonly PassTableColumn[],
  cells: readonly string[],
  line: number,
  decimalComma: boolean,
): { row: Row } | { problem: string } {
  const row: Row = {};
  for (const [i, name] of names.entries()) {
    const text = (cells[i] ?? '').trim();
    if (text === '') continue;
    if (!NUMBERS.has(name)) {
      row[name] = withoutGuard(text);
      continue;
    }
    const number = decimalComma ? text.replace(',', '.') : text;
    if (!NUMBER.test(number)) {
      return { problem: `Line ${line}, column ${name}: "${text.slice(0, 40)}" is not a number such as 7.5.` };
    }
    row[name] = Number(number);
  }
  return { row };
}

const LIMIT_FROM = PASS_TABLE_COLUMNS.indexOf('quantity');
const PASS_COLUMNS = PASS_TABLE_COLUMNS.slice(0, LIMIT_FROM);
const LIMIT_COLUMNS = PASS_TABLE_COLUMNS.slice(LIMIT_FROM);

function take(
  passes: Map<string, { line: number; row: Row; limits: unknown[] }>,
  row: Row,
  line: number,
): string | null {
  const name = row.pass;
  if (typeof name !== 'string') return `Line ${line}, column pass: every line names its pass.`;
  const kept = passes.get(name);
  const differs =
    kept && PASS_COLUMNS.find(column => row[column] !== undefined && row[column] !== kept.row[column]);
  if (kept && differs !== undefined) {
    return `Line ${line}, column ${differs}: pass "${name}" has "${kept.row[differs] ?? ''}" there in line ${kept.line}.`;
  }
  const pass = kept ?? { line, row, limits: [] };
  passes.set(name, pass);
  const hasLimit = LIMIT_COLUMNS.some(column => row[column] !== undefined);
  if (!hasLimit) return null;
  if (row.quantity === undefined) return `Line ${line}, column quantity: a limit names its quantity.`;
  const { clock_from_h: from, clock_to_h: to } = row;
  pass.limits.push(
    compact({
      quantity: row.quantity,
      // As a code, or as people write it.
      unit: typeof row.unit === 'string' ? (unitFromText(row.unit) ?? row.unit) : undefined,
      basis: row.basis,
      min: row.min,
      nominal: row.nominal,
      max: row.max,
      tolerancePercent: row.tolerance_percent,
      exact: row.exact,
      clockZone: from === undefined && to === undefined ? undefined : { from, to },
      authority: row.authority,
    }),
  );
  return null;
}

function assemble(
  passes: ReadonlyMap<string, { line: number; row: Row; limits: unknown[] }>,
): PassTableAnswer {
  if (passes.size === 0) return refuse('The table names no pass.');
  const read: ProcedurePass[] = [];
  for (const [name, { line, row, limits }] of passes) {
    const wire = compact({
      diameterMm: row.wire_diameter_mm,
      classification: row.wire_classification,
      lotRule: row.wire_lot_rule,
    });
    const parsed = procedurePassSchema.safeParse(
      compact({
        name,
        type: row.type,
        program: row.program,
        process: row.process,
        transferMode: row.transfer_mode,
        polarity: row.polarity,
        wire: Object.keys(wire).length > 0 ? wire : undefined,
        gas: row.gas,
        direction: row.direction,
        technique: row.technique,
        torchAngleDegrees: row.torch_angle_degrees,
        limits,
      }),
    );
    if (!parsed.success) {
      const issue = parsed.error.issues[0];
      return refuse(
        `Pass "${name}" (from line ${line}), ${issue?.path.join('.') || 'limits'}: ${issue?.message ?? 'unreadable'}.`,
      );
    }
    read.push(parsed.data);
  }
  return { ok: true, passes: read };
}

const compact = (value: object): object =>
  Object.fromEntries(Object.entries(value).filter(([, one]) => one !== undefined));
