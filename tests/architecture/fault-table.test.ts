/** docs/faults.md says what the fault tests do, and the fault tests are all in it. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, test } from 'vitest';
import { FAULT_TABLE, faultsDocument } from '../faults/table/fault-table.ts';

const root = resolve(import.meta.dirname, '../..');
const rows = FAULT_TABLE.flatMap(([, of]) => of);
const read = (file: string): string => readFileSync(join(root, file), 'utf8');

test('docs/faults.md is the table, word for word (npx vitest -u rewrites it)', async () => {
  await expect(faultsDocument()).toMatchFileSnapshot(join(root, 'docs/faults.md'));
});

test('every test that the table names exists', () => {
  const missing = rows.flatMap(row =>
    row.tests.filter(([file, name]) => !read(file).includes(name)).map(([file, name]) => `${file}: ${name}`),
  );
  expect(missing).toEqual([]);
  expect(rows.filter(row => row.tests.length === 0 && row.open === null)).toEqual([]);
});

test('every fault test stands in the table', () => {
  const folder = 'tests/faults';
  const unnamed = readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter(name => name.endsWith('.test.ts'))
    .flatMap(name => {
      const file = `${folder}/${name}`;
      const named = rows.flatMap(row => row.tests.filter(([of]) => of === file).map(([, title]) => title));
      const titles = [...read(file).matchAll(/\b(?:it|faultTest)\(\s*'([^']+)'/g)].map(match => match[1]!);
      expect(titles.length, file).toBeGreaterThan(0);
      return titles.filter(title => !named.some(beginning => title.startsWith(beginning)));
    });
  expect(unnamed).toEqual([]);
});
