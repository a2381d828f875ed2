import { parse } from 'csv-parse/sync';

export type CsvRows =
  | { readonly ok: true; readonly rows: string[][]; readonly semicolons: boolean }
  | { readonly ok: false; readonly problem: string };

/** RFC 4180 text into rows. Spreadsheets of some languages part cells with semicolons and write decimal commas. */
export function csvRows(csv: string): CsvRows {
  const [first = ''] = csv.split(/\r?\n/, 1);
  const semicolons = first.split(';').length > first.split(',').length;
  try {
    const rows: string[][] = parse(csv, {
      bom: true,
      delimiter: semicolons ? ';' : ',',
      relax_column_count: true,
      skip_empty_lines: true,
      max_record_size: 20_000,
    });
    return { ok: true, rows, semicolons };
  } catch (error) {
    const { lines, message } = error as { lines?: number; message: string };
    return { ok: false, problem: `Line ${lines ?? 1}: not RFC 4180 text: ${message}.`.slice(0, 300) };
  }
}
