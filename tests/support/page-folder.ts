import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** A built page of next to nothing, below a hidden directory, as under a home directory's .local. */
export function pageFolder(directory: string): string {
  const page = join(directory, '.hidden', 'web');
  mkdirSync(join(page, 'assets'), { recursive: true });
  writeFileSync(join(page, 'index.html'), '<!doctype html><title>page</title>');
  writeFileSync(join(page, 'assets', 'a.js'), 'export {};');
  return page;
}
