/**
 * Every package that an installation gets from the registry, as the lock file names it, with its licence. Read from
 * package-lock.json and node_modules; throws where one is not installed.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { ONLY_TO_INSTALL } from './package-runtime.mjs';

/** Where a manifest names no SPDX licence: what its own licence file says, and who looked at that. */
const READ_BY_HAND = {
  // LICENSE of the package: the MIT text.
  'png-js': 'MIT',
  // LICENSE of the package: Bitstream Vera and Arev terms, DejaVu's changes in the public domain. SPDX has this pair.
  'dejavu-fonts-ttf': 'Bitstream-Vera',
};

/** Permissive families; a package under anything else is not taken in without a decision. */
export const ALLOWED_LICENCES = [
  ...['MIT', 'ISC', '0BSD', 'BSD-2-Clause', 'BSD-3-Clause', 'Apache-2.0', 'Bitstream-Vera'],
  ...['(MIT OR WTFPL)', '(BSD-2-Clause OR MIT OR Apache-2.0)'],
];

/**
 * Sorted by name and version: `{ name, version, licence, folder, use }`. `use` is "runs" for what a program or the
 * page loads, "installs" for what only fetches or compiles a native part.
 */
export function dependencies(root) {
  const { packages } = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'));
  const runs = reachable(packages);
  return Object.entries(packages)
    .filter(
      ([folder, entry]) => folder !== '' && !entry.dev && (!entry.optional || existsSync(join(root, folder))),
    )
    .map(([folder, entry]) => {
      const name = folder.slice(folder.lastIndexOf('node_modules/') + 'node_modules/'.length);
      const file = join(root, folder, 'package.json');
      if (!existsSync(file)) throw new Error(`${folder} is not installed: run "npm ci" first`);
      const { license } = JSON.parse(readFileSync(file, 'utf8'));
      const licence = READ_BY_HAND[name] ?? license ?? entry.license ?? 'not stated';
      return { name, version: entry.version, licence, folder, use: runs.has(folder) ? 'runs' : 'installs' };
    })
    .sort((a, b) => (`${a.name} ${a.version}` < `${b.name} ${b.version}` ? -1 : 1));
}

/** Folders of the lock file that the programs reach without the tools of installation. */
function reachable(packages) {
  const seen = new Set();
  const visit = (name, from) => {
    const folder = folderOf(name, from, packages);
    if (folder === null || seen.has(folder)) return;
    seen.add(folder);
    const { dependencies: needs = {}, optionalDependencies = {}, peerDependencies = {} } = packages[folder];
    for (const needed of Object.keys({ ...needs, ...optionalDependencies, ...peerDependencies })) {
      if (!ONLY_TO_INSTALL.includes(needed)) visit(needed, folder);
    }
  };
  for (const name of Object.keys(packages[''].dependencies)) visit(name, '');
  return seen;
}

/** As Node looks packages up: beside the folder, then in each folder above. */
function folderOf(name, from, packages) {
  for (let folder = from; ; folder = folder.slice(0, Math.max(0, folder.lastIndexOf('/node_modules/')))) {
    const candidate = folder === '' ? `node_modules/${name}` : `${folder}/node_modules/${name}`;
    if (candidate in packages) return candidate;
    if (folder === '') return null;
  }
}

/** The licence text that a package carries, or null where it names its licence only. */
export function licenceText(root, folder) {
  const files = readdirSync(join(root, folder))
    .filter(name => /^(?:licen[cs]e|copying)/i.test(name))
    .sort();
  if (files.length === 0) return null;
  return files.map(name => readFileSync(join(root, folder, name), 'utf8').trim()).join('\n\n');
}
