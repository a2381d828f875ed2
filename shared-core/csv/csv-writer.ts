/**
 * Delimited text as RFC 4180 has it: comma, CRLF after every line, quotes doubled. What is not known is an empty
 * cell, never 0. Text that a spreadsheet would take for a formula is prefixed with an apostrophe (OWASP, CSV injection).
 */
export type CsvValue = string | number | boolean | null | undefined;

/** How a table is written: with points and commas as RFC 4180 has it, or for spreadsheets that take a decimal comma. */
export type CsvStyle = 'point' | 'comma';
const SEPARATORS: Readonly<Record<CsvStyle, string>> = { point: ',', comma: ';' };

const FORMULA = /^'*[=+\-@\t\r\n]/;
const APOSTROPHE = /^'(?='*[=+\-@\t\r\n])/;

export function csvCell(value: CsvValue, style: CsvStyle = 'point'): string {
  if (value === null || value === undefined) return '';
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) return '';
    return style === 'comma' ? String(value).replace('.', ',') : String(value);
  }
  if (typeof value === 'boolean') return value ? 'true' : 'false';
  const safe = FORMULA.test(value) ? `'${value}` : value;
  return (style === 'comma' ? /[";\r\n]/ : /[",\r\n]/).test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** With its CRLF. */
export function csvLine(values: readonly CsvValue[], style: CsvStyle = 'point'): string {
  return `${values.map(value => csvCell(value, style)).join(SEPARATORS[style])}\r\n`;
}

/** The header, then one line a row: the columns say what is in each, in their order. */
export function* csvLines<Row>(
  columns: CsvColumns<Row>,
  rows: Iterable<Row>,
  style: CsvStyle = 'point',
): Generator<string> {
  const all = Object.entries(columns);
  yield csvLine(
    all.map(([name]) => name),
    style,
  );
  for (const row of rows) {
    yield csvLine(
      all.map(([, read]) => read(row)),
      style,
    );
  }
}

/** `snake_case` with the unit at its end → what stands there. */
export type CsvColumns<Row> = Readonly<Record<string, (row: Row) => CsvValue>>;

/** A text cell as it was before it was guarded. */
export function withoutGuard(text: string): string {
  return text.replace(APOSTROPHE, '');
}

/** A number with no more decimals than it has meaning: 0.1 + 0.2 is written 0.3. */
export function rounded(value: number | null | undefined, decimals: number): number | null {
  return value === null || value === undefined || !Number.isFinite(value)
    ? null
    : Number(value.toFixed(decimals));
}
