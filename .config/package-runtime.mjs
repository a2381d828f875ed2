/** What of node_modules the built programs still load when they run: the external packages and what those need. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, sep } from 'node:path';
import { EXTERNAL_PACKAGES } from './external-packages.mjs';

/** Needed to compile or fetch a native part, never to run it. */
export const ONLY_TO_INSTALL = ['prebuild-install', 'node-addon-api'];

const LEFT_OUT_FOLDERS = /^(?:node_modules|test|tests|docs|types|tools|\.github)$/;
const LEFT_OUT_FILES =
  /(?:\.[cm]?ts|\.map|\.lock)$|^(?:\.|tsconfig|jsconfig|rollup|vitest|CHANGELOG|HISTORY)/;

/** What some packages have of all that runs: matched against the path inside the package. */
const KEEP_ONLY = {
  'dejavu-fonts-ttf': /^(?:package\.json|LICENSE|README\.md|ttf\/DejaVuSansCondensed(?:-Bold)?\.ttf)$/,
  'better-sqlite3': /^(?:package\.json|LICENSE|lib\/.*\.js)$/,
  '@serialport/bindings-cpp': /^(?:package\.json|LICENSE|dist\/.*\.js)$/,
};

/** The compiled file of each native package, for this machine's architecture and GNU libc. */
const COMPILED = {
  'better-sqlite3': folder => [join('build', 'Release', 'better_sqlite3.node')].filter(has(folder)),
  '@serialport/bindings-cpp': folder => {
    const built = join('build', 'Release', 'bindings.node');
    if (has(folder)(built)) return [built];
    const prebuilds = join('prebuilds', `linux-${process.arch}`);
    if (!has(folder)(prebuilds)) return [];
    return readdirSync(join(folder, prebuilds))
      .filter(name => name.endsWith('.glibc.node'))
      .map(name => join(prebuilds, name));
  },
};

const has = folder => path => existsSync(join(folder, path));

/**
 * The packages by their folders, relative to `root` and sorted, each with its name, version and the files to ship.
 * Throws where one is not installed or its compiled part is missing.
 */
export function runtimePackages(root) {
  const found = new Map();
  const visit = (name, from) => {
    const folder = folderOf(name, from, root);
    if (folder === null) throw new Error(`${name} is not installed: run "npm ci" first`);
    if (found.has(folder)) return;
    const manifest = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
    found.set(folder, { name, version: manifest.version, manifest });
    for (const needed of Object.keys(manifest.dependencies ?? {})) {
      if (!ONLY_TO_INSTALL.includes(needed)) visit(needed, folder);
    }
  };
  for (const name of EXTERNAL_PACKAGES) visit(name, root);
  return [...found]
    .map(([folder, { name, version, manifest }]) => ({
      name,
      version,
      license: manifest.license,
      folder: relative(root, folder),
      files: filesOf(name, folder),
    }))
    .sort((a, b) => (a.folder < b.folder ? -1 : 1));
}

function folderOf(name, from, root) {
  for (let folder = from; ; folder = dirname(folder)) {
    const candidate = join(folder, 'node_modules', name);
    if (existsSync(join(candidate, 'package.json'))) return candidate;
    if (folder === root) return null;
  }
}

function filesOf(name, folder) {
  const compiled = COMPILED[name]?.(folder);
  if (compiled?.length === 0) {
    throw new Error(`${name} has no compiled part for ${process.arch}: run "npm rebuild ${name}"`);
  }
  const keep = KEEP_ONLY[name];
  const files = walk(folder).filter(path => keep === undefined || keep.test(path.split(sep).join('/')));
  return [...files, ...(compiled ?? [])].sort();
}

function walk(folder, inside = '') {
  return readdirSync(join(folder, inside), { withFileTypes: true }).flatMap(entry => {
    const path = join(inside, entry.name);
    if (entry.isDirectory()) return LEFT_OUT_FOLDERS.test(entry.name) ? [] : walk(folder, path);
    return LEFT_OUT_FILES.test(entry.name) ? [] : [path];
  });
}
