/** The cells of a line of delimited text, and the numbers in them. */
import { parse } from 'csv-parse/sync';

/** Plain decimal or exponent notation, nothing else: NaN for all that Number() would guess at. */
const NUMBER = /^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$/;
/** Between blanks: a quoted cell, which may hold blanks, or a plain one. */
const BLANK_SEPARATED = /"((?:[^"]|"")*)"(?!\S)|\S+/g;

export function readNumber(cell: string | undefined): number {
  return cell !== undefined && NUMBER.test(cell) ? Number(cell) : Number.NaN;
}

/** Cells of a line, trimmed. A space as delimiter stands for any run of blanks. */
export function splitLine(line: string, delimiter: string): string[] {
  if (delimiter === ' ') {
    return Array.from(line.matchAll(BLANK_SEPARATED), ([plain, quoted]) =>
      quoted === undefined ? plain : quoted.replaceAll('""', '"').trim(),
    );
  }
  const plain = (): string[] => line.split(delimiter).map(cell => cell.trim());
  if (!line.includes('"')) return plain();
  try {
    const [cells] = parse(line, {
      delimiter,
      relax_quotes: true,
      relax_column_count: true,
      trim: true,
    }) as string[][];
    return cells ?? [];
  } catch {
    // A quote that never closes: the row is then unreadable in the cells it spoils, not the file.
    return plain();
  }
}
