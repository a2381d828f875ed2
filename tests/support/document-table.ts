import { expect } from 'vitest';

/** Rows of the first table of a Markdown document after `heading`, cells trimmed. */
export function tableIn(document: string, heading: string): string[][] {
  const from = document.indexOf(heading);
  expect(from, heading).toBeGreaterThanOrEqual(0);
  const rows = document.slice(from).split('\n');
  const start = rows.findIndex(row => row.startsWith('|'));
  const end = rows.findIndex((row, i) => i > start && !row.startsWith('|'));
  return rows.slice(start + 2, end).map(row =>
    row
      .split('|')
      .slice(1, -1)
      .map(cell => cell.trim()),
  );
}

/** What stands in backticks in a cell. */
export const codes = (cell: string): string[] => [...cell.matchAll(/`([^`]+)`/g)].map(match => match[1]!);
