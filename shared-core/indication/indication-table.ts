/** Indications from rows of text, as a scan report gives them: one row each, columns by name. */
import { short } from '../program/short.ts';
import { type Indication, indicationSchema } from './indication.ts';

export const INDICATION_COLUMNS = [
  'label',
  'type',
  'position',
  'unit',
  'length_mm',
  'depth_mm',
  'height_mm',
] as const;
type Column = (typeof INDICATION_COLUMNS)[number];
const REQUIRED: readonly Column[] = ['label', 'type', 'position', 'unit', 'length_mm'];

export type IndicationTable =
  | { readonly ok: true; readonly indications: Indication[] }
  | { readonly ok: false; readonly problem: string };

/** Text cells of a spreadsheet may carry an apostrophe before a sign (OWASP, CSV injection): it is taken off. */
const plain = (cell: string): string => cell.trim().replace(/^'(?=[=+\-@])/, '');

const CLOCK = /^(\d{1,2}):([0-5]\d)$/;

/** The first row names the columns; empty is not given, never zero. `decimalComma` where a comma is the decimal sign. */
export function readIndicationTable(
  rows: readonly (readonly string[])[],
  decimalComma = false,
): IndicationTable {
  const [head, ...body] = rows;
  if (!head) return { ok: false, problem: 'The table is empty: its first row names the columns.' };
  const names = head.map(cell => cell.trim().toLowerCase());
  const missing = REQUIRED.find(column => !names.includes(column));
  if (missing) return { ok: false, problem: `Column "${missing}" is missing in the first row.` };
  const unknown = names.find(name => !INDICATION_COLUMNS.includes(name as Column));
  if (unknown !== undefined) {
    return {
      ok: false,
      problem: `Column "${short(unknown)}" is not known: use ${INDICATION_COLUMNS.join(', ')}.`,
    };
  }
  const indications: Indication[] = [];
  for (const [i, row] of body.entries()) {
    const cell = (column: Column): string => plain(row[names.indexOf(column)] ?? '');
    const number = (column: Column): number | null => {
      const text = decimalComma ? cell(column).replace(',', '.') : cell(column);
      if (text === '') return null;
      return /^[+-]?\d+(\.\d+)?$/.test(text) ? Number(text) : Number.NaN;
    };
    // A place by the clock is written 9:30 as often as 9.5.
    const [, hour, minute] = (cell('unit') === 'clock' && CLOCK.exec(cell('position'))) || [];
    const position =
      hour === undefined || minute === undefined ? number('position') : Number(hour) + Number(minute) / 60;
    const measured = {
      position,
      length_mm: number('length_mm'),
      depth_mm: number('depth_mm'),
      height_mm: number('height_mm'),
    };
    const unread = INDICATION_COLUMNS.find(name => Number.isNaN(measured[name as keyof typeof measured]));
    if (unread !== undefined) {
      return { ok: false, problem: `Row ${i + 2}, ${unread}: "${short(cell(unread))}" is not a number.` };
    }
    const read = indicationSchema.safeParse({
      label: cell('label'),
      type: cell('type'),
      position,
      unit: cell('unit'),
      lengthMm: measured.length_mm,
      depthMm: measured.depth_mm,
      heightMm: measured.height_mm,
    });
    if (!read.success) {
      const issue = read.error.issues[0];
      return { ok: false, problem: `Row ${i + 2}, ${issue?.path.join('.')}: ${issue?.message}.` };
    }
    if (indications.some(({ label }) => label === read.data.label)) {
      return { ok: false, problem: `Row ${i + 2}: the label "${short(read.data.label)}" stands twice.` };
    }
    indications.push(read.data);
  }
  return indications.length === 0
    ? { ok: false, problem: 'The table has no row besides the names of its columns.' }
    : { ok: true, indications };
}
