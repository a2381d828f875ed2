/** RFC 4180: cells with a quote, comma, semicolon or line break are quoted; lines end in CRLF. */

/** A text that a spreadsheet would take for a formula is kept from being one by an apostrophe. */
const FORMULA = /^[=+\-@\t\r]/;
const QUOTED = /[",;\r\n]/;

export const csvCell = (value: string | number | undefined): string => {
  if (value === undefined) return '';
  const text = typeof value === 'string' && FORMULA.test(value) ? `'${value}` : String(value);
  return QUOTED.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
};

export const csvText = (rows: readonly (readonly (string | number | undefined)[])[]): string =>
  rows.map(row => `${row.map(csvCell).join(',')}\r\n`).join('');

export interface CsvRow {
  /** Line of the text it begins on, from 1. */
  readonly line: number;
  readonly cells: readonly string[];
}

/** Comma or semicolon, whichever the first line has more of: spreadsheets of some languages write the latter. */
export function csvDelimiter(text: string): ',' | ';' {
  const [first = ''] = text.split(/\r?\n/, 1);
  return first.split(';').length > first.split(',').length ? ';' : ',';
}

/** Rows of a CSV text without empty lines; null where a quote is opened and never closed. */
export function parseCsv(text: string): readonly CsvRow[] | null {
  const delimiter = csvDelimiter(text);
  const rows: CsvRow[] = [];
  let cells: string[] = [];
  let cell = '';
  let quoted = false;
  let line = 1;
  let began = 1;
  const endCell = (): void => {
    cells.push(FORMULA.test(cell.slice(1)) && cell.startsWith("'") ? cell.slice(1) : cell);
    cell = '';
  };
  const endRow = (): void => {
    endCell();
    if (cells.some(one => one.trim() !== '')) rows.push({ line: began, cells });
    cells = [];
  };
  const body = text.startsWith('\uFEFF') ? text.slice(1) : text;
  for (let i = 0; i < body.length; i++) {
    const char = body[i]!;
    if (quoted) {
      if (char === '"' && body[i + 1] === '"') {
        cell += '"';
        i++;
      } else if (char === '"') quoted = false;
      else {
        if (char === '\n') line++;
        cell += char;
      }
    } else if (char === '"' && cell === '') quoted = true;
    else if (char === delimiter) endCell();
    else if (char === '\n') {
      endRow();
      line++;
      began = line;
    } else if (char !== '\r') cell += char;
  }
  if (quoted) return null;
  if (cell !== '' || cells.length > 0) endRow();
  return rows;
}
