import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from 'vite';
import { DIST } from './programs.ts';

const ROOT = join(import.meta.dirname, '..', '..');
const CONFIG = join(ROOT, '.config/vite.config.mjs');
/** What the page is made of. */
const SOURCES = ['dashboard/web', 'shared-core', '.config/vite.config.mjs', '.config/page-shell.mjs'];

let page: Promise<string> | null = null;

/**
 * Folder with the page as its sources have it now, nothing may be written there: the one that `npm test` has built, or
 * where a source is newer than that a build of its own, once for all test files of a worker.
 */
export function builtPage(): Promise<string> {
  page ??= freshPage();
  return page;
}

async function freshPage(): Promise<string> {
  const folder = join(DIST, 'web');
  const builtMs = statSync(join(folder, 'index.html'), { throwIfNoEntry: false })?.mtimeMs ?? 0;
  if (SOURCES.every(source => newestMs(join(ROOT, source)) < builtMs)) return folder;
  const outDir = mkdtempSync(join(tmpdir(), 'girthlog-web-'));
  process.once('exit', () => rmSync(outDir, { recursive: true, force: true }));
  await build({ configFile: CONFIG, logLevel: 'error', build: { outDir, emptyOutDir: true } });
  return outDir;
}

/** When a file, or anything in a folder, was last changed: also that something was taken out of it. */
function newestMs(path: string): number {
  const stat = statSync(path);
  if (!stat.isDirectory()) return stat.mtimeMs;
  return Math.max(stat.mtimeMs, ...readdirSync(path).map(name => newestMs(join(path, name))));
}
