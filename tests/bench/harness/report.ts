/** The table on the terminal and docs/benchmarks.md. */
import { cpus } from 'node:os';
import type { Benchmark, Figure } from './figure.ts';
import { CONSTANT, LINEAR } from './growth.ts';

export interface RunFacts {
  readonly date: string;
  readonly node: string;
  readonly seconds: number;
  /** Processes that wanted a core, over the last minute of the run. */
  readonly load: number;
}

const HEADINGS = ['figure', '', 'goal', 'ratio (least–greatest)', 'subject', 'baseline', ''];

function cells(figure: Figure): string[] {
  const { id, what, goal, ratio, subject, baseline, verdict } = figure;
  return [id, what, goal, ratio === null ? '–' : ratioText(ratio), subject, baseline, verdict];
}

function ratioText({ median, low, high }: NonNullable<Figure['ratio']>): string {
  const digits = high >= 10 ? 1 : high >= 0.1 ? 2 : 4;
  const text = (value: number): string => value.toFixed(digits);
  return low === high ? `${text(median)}×` : `${text(median)}× (${text(low)}–${text(high)})`;
}

/** Cells of a column as wide as its widest. */
function aligned(rows: readonly (readonly string[])[]): string[][] {
  const widths = rows[0]!.map((_, column) => Math.max(...rows.map(row => row[column]!.length)));
  return rows.map(row => row.map((cell, column) => cell.padEnd(widths[column]!)));
}

export function tableText(figures: readonly Figure[]): string {
  const lines = aligned([HEADINGS, ...figures.map(cells)]).map(row => row.join('  ').trimEnd());
  const notes = figures.flatMap(({ id, what, note }) =>
    note === undefined ? [] : [`${id} ${what}: ${note}`],
  );
  const tables = figures.flatMap(({ table }) =>
    table === undefined
      ? []
      : ['', table.caption, ...aligned([table.head, ...table.rows]).map(row => row.join('  ').trimEnd())],
  );
  return `${[...lines, '', ...notes, ...tables].join('\n').trimEnd()}\n`;
}

/** A table as lines of Markdown. */
export function markdown(head: readonly string[], body: readonly (readonly string[])[]): string[] {
  const [headings, ...rows] = aligned([head, ...body]);
  const rule = headings!.map(cell => '-'.repeat(cell.length));
  return [headings!, rule, ...rows].map(row => `| ${row.join(' | ')} |`);
}

export function documentText(
  facts: RunFacts,
  figures: readonly Figure[],
  benchmarks: readonly Benchmark[],
  left: readonly Benchmark[],
): string {
  const table = markdown(
    ['figure', 'what', 'goal', 'ratio (least–greatest)', 'subject', 'baseline', 'verdict'],
    figures.map(cells),
  );
  const counts = figures.flatMap(({ table }) =>
    table === undefined ? [] : [table.caption, '', ...markdown(table.head, table.rows), ''],
  );
  const notes = figures.flatMap(({ id, what, note }) =>
    note === undefined ? [] : [`- **${id}, ${what}**: ${note}`],
  );
  const methods = benchmarks.flatMap(({ id, title, how }) => [`**${id}, ${title}.** ${how}`, '']);
  const absent = figures.filter(({ verdict }) => verdict === 'not measured');
  return `# Benchmarks

Written by \`npm run bench\` on ${facts.date} with Node ${facts.node} on ${cpus().length} × ${cpus()[0]?.model.trim() ?? 'unknown processor'}, in ${Math.round(facts.seconds)} s, at a load average of ${facts.load.toFixed(1)} (the run's own processes included).

Subject and baseline are measured in the same run and take turns, so their ratio says something on a busy
machine, where the absolute figures beside it do not. A ratio is the median over the pairs, with the least and
the greatest pair. A sample is one reading of four channels. Every throughput figure requires that all of it was
delivered, checked by count, sequence number or hash; a run in which something is missing fails instead of
reporting.

How a cost grows is told by an exponent: cost ∝ size to that power, through all sizes of its table (below). Linear is
an exponent of at most ${LINEAR}, constant one of at most ${CONSTANT}; the last step alone may be 0.2 steeper, which is noise.

${table.join('\n')}

## Notes

${notes.length > 0 ? notes.join('\n') : 'None.'}

${counts.length > 0 ? `## Tables\n\n${counts.join('\n')}\n` : ''}## How each is measured

${methods.join('\n')}
## Not measured

${absent.length > 0 ? absent.map(({ id, what, note }) => `- ${id}, ${what}: ${note ?? ''}`).join('\n') : '- Every row above was measured.'}
${left.map(({ id, title }) => `- ${id}, ${title}: left out of this run; \`npm run bench -- --full\`, or \`--only ${id}\` alone.\n`).join('')}- Anything on a small board or a memory card: these figures are from the machine named above.
`;
}
