import { isCommensurable } from '../units/ucum.ts';
import { unitFromText } from '../units/unit-label.ts';
import { type CsvRow, csvDelimiter, csvText, parseCsv } from './csv-text.ts';
import { LIMIT_UNITS, LIMITED_QUANTITIES, type LimitedQuantity } from './limit-units.ts';
import type { Limit, ProcedurePass } from './procedure.ts';

/** Columns of a pass and the field they hold; a line for each limit repeats them. */
const PASS_COLUMNS = {
  pass: 'name',
  type: 'type',
  program: 'program',
  wire_diameter_mm: 'wire.diameterMm',
  wire_classification: 'wire.classification',
  wire_lot_rule: 'wire.lotRule',
  process: 'process',
  transfer_mode: 'transferMode',
  polarity: 'polarity',
  gas: 'gas',
  direction: 'direction',
  technique: 'technique',
  torch_angle_degrees: 'torchAngleDegrees',
} as const;
const LIMIT_NUMBERS = {
  min: 'min',
  nominal: 'nominal',
  max: 'max',
  tolerance_percent: 'tolerancePercent',
  exact: 'exact',
  clock_from: 'from',
  clock_to: 'to',
} as const;
const NUMBER_COLUMNS = new Set([
  'program',
  'wire_diameter_mm',
  'torch_angle_degrees',
  ...Object.keys(LIMIT_NUMBERS),
]);
const COLUMNS = [
  ...Object.keys(PASS_COLUMNS),
  'quantity',
  'unit',
  'basis',
  ...Object.keys(LIMIT_NUMBERS),
  'authority',
] as const;
const BASES = ['pass', 'window', 'instant'] as const;

/** The passes as a table: one line a limit, a pass without limits one line with none. */
export function passTableCsv(passes: readonly ProcedurePass[]): string {
  const rows = passes.flatMap(pass => {
    const own = Object.values(PASS_COLUMNS).map(path => valueAt(pass, path));
    const limits: readonly (Limit | null)[] = pass.limits.length === 0 ? [null] : pass.limits;
    return limits.map(limit => [
      ...own,
      limit?.quantity,
      limit?.unit,
      limit?.basis,
      limit?.min,
      limit?.nominal,
      limit?.max,
      limit?.tolerancePercent,
      limit?.exact,
      limit?.clockZone?.from,
      limit?.clockZone?.to,
      limit?.authority,
    ]);
  });
  return csvText([COLUMNS, ...rows]);
}

function valueAt(pass: ProcedurePass, path: string): string | number | undefined {
  const [name = '', inner] = path.split('.');
  const value = (pass as unknown as Record<string, unknown>)[name];
  const found = inner === undefined ? value : (value as Record<string, unknown> | undefined)?.[inner];
  return typeof found === 'string' || typeof found === 'number' ? found : undefined;
}

/** Passes as the table has them, not yet held against the schema of a procedure; or one sentence naming line and column. */
export type PassTableReading =
  | { readonly kind: 'passes'; readonly passes: readonly ProcedurePass[] }
  | { readonly kind: 'problem'; readonly text: string };

class TableProblem extends Error {}

interface Cells {
  readonly line: number;
  readonly text: (column: string) => string;
  readonly number: (column: string) => number | undefined;
}

/** Reads what passTableCsv writes, in any order of columns, with units as codes or as people write them. */
export function readPassTable(text: string): PassTableReading {
  try {
    return { kind: 'passes', passes: passesOf(text) };
  } catch (error) {
    if (error instanceof TableProblem) return { kind: 'problem', text: error.message };
    throw error;
  }
}

function passesOf(text: string): ProcedurePass[] {
  const rows = parseCsv(text);
  if (rows === null) throw new TableProblem('a quote is opened and never closed');
  const [head, ...lines] = rows;
  if (head === undefined || lines.length === 0) throw new TableProblem('the table has no lines');
  const columns = head.cells.map(cell => cell.trim().toLowerCase());
  for (const needed of ['pass', 'type', 'quantity', 'unit', 'basis']) {
    if (!columns.includes(needed))
      throw new TableProblem(`line ${head.line}: the column ${needed} is missing`);
  }
  const known: readonly string[] = COLUMNS;
  const strange = columns.find(column => column !== '' && !known.includes(column));
  if (strange !== undefined)
    throw new TableProblem(`line ${head.line}: the column ${strange} is not one of a pass table`);
  const comma = csvDelimiter(text) === ';';
  const passes = new Map<string, ProcedurePass>();
  for (const row of lines) {
    const cells = cellsOf(row, columns, comma);
    const pass = passOf(cells);
    const before = passes.get(pass.name);
    if (before !== undefined) agree(before, pass, row.line);
    const target = before ?? pass;
    passes.set(pass.name, target);
    const limit = limitOf(cells);
    if (limit !== null) target.limits.push(limit);
  }
  return [...passes.values()];
}

function cellsOf(row: CsvRow, columns: readonly string[], comma: boolean): Cells {
  if (row.cells.length > columns.length) {
    throw new TableProblem(`line ${row.line}: ${row.cells.length} cells, but ${columns.length} columns`);
  }
  const text = (column: string): string => row.cells[columns.indexOf(column)]?.trim() ?? '';
  return {
    line: row.line,
    text,
    number: column => {
      const typed = text(column);
      if (typed === '') return undefined;
      const value = Number(comma ? typed.replace(',', '.') : typed);
      if (!Number.isFinite(value)) {
        throw new TableProblem(`line ${row.line}, ${column}: "${typed.slice(0, 40)}" is not a number`);
      }
      return value;
    },
  };
}

function passOf(cells: Cells): ProcedurePass {
  for (const column of ['pass', 'type']) {
    if (cells.text(column) === '') throw new TableProblem(`line ${cells.line}: ${column} is empty`);
  }
  const pass: Record<string, unknown> = {};
  const wire: Record<string, unknown> = {};
  for (const [column, path] of Object.entries(PASS_COLUMNS)) {
    const value = NUMBER_COLUMNS.has(column) ? cells.number(column) : cells.text(column);
    if (value === undefined || value === '') continue;
    if (path.startsWith('wire.')) wire[path.slice('wire.'.length)] = value;
    else pass[path] = value;
  }
  if (Object.keys(wire).length > 0) pass['wire'] = wire;
  return { ...pass, limits: [] } as unknown as ProcedurePass;
}

/** The lines of one pass say the same of it, or the table contradicts itself. */
function agree(before: ProcedurePass, again: ProcedurePass, line: number): void {
  for (const [column, path] of Object.entries(PASS_COLUMNS)) {
    const [first, second] = [valueAt(before, path), valueAt(again, path)];
    if (first !== second) {
      throw new TableProblem(
        `line ${line}, ${column}: "${second ?? ''}", but an earlier line of pass "${before.name}" has "${first ?? ''}"`,
      );
    }
  }
}

function limitOf(cells: Cells): Limit | null {
  const { line, text, number } = cells;
  const given = [...Object.keys(LIMIT_NUMBERS), 'unit', 'basis', 'authority'].some(
    column => text(column) !== '',
  );
  if (text('quantity') === '') {
    if (given) throw new TableProblem(`line ${line}: quantity is empty, but the line has a limit`);
    return null;
  }
  const quantity = LIMITED_QUANTITIES.find(one => one === text('quantity'));
  if (quantity === undefined) {
    throw new TableProblem(
      `line ${line}, quantity: "${text('quantity').slice(0, 40)}" is not one of ${LIMITED_QUANTITIES.join(', ')}`,
    );
  }
  const basis = BASES.find(one => one === text('basis'));
  if (basis === undefined) {
    throw new TableProblem(
      `line ${line}, basis: "${text('basis').slice(0, 40)}" is not one of ${BASES.join(', ')}`,
    );
  }
  const [from, to] = [number('clock_from'), number('clock_to')];
  if ((from === undefined) !== (to === undefined)) {
    throw new TableProblem(`line ${line}: a clock zone needs both clock_from and clock_to`);
  }
  const numbers = (['min', 'nominal', 'max', 'tolerance_percent', 'exact'] as const).flatMap(column => {
    const value = number(column);
    return value === undefined ? [] : [[LIMIT_NUMBERS[column], value] as const];
  });
  return {
    quantity,
    unit: unitOf(quantity, cells),
    basis,
    ...Object.fromEntries(numbers),
    ...(from === undefined || to === undefined ? {} : { clockZone: { from, to } }),
    ...(text('authority') === '' ? {} : { authority: text('authority') }),
  };
}

function unitOf(quantity: LimitedQuantity, { line, text }: Cells): string {
  const unit = unitFromText(text('unit'));
  if (unit === null || !isCommensurable(unit, LIMIT_UNITS[quantity])) {
    throw new TableProblem(`line ${line}, unit: "${text('unit').slice(0, 40)}" is not a unit of ${quantity}`);
  }
  return unit;
}
