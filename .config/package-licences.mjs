/** `npm run licences`: writes docs/licences.md; with --check says whether it is current and every licence allowed. */
import { readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ALLOWED_LICENCES, dependencies } from './package-dependencies.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const file = join(root, 'docs/licences.md');

const INTRODUCTION = `# Licences

Written by \`npm run licences\` from the lock file and the packages themselves; a test says when it is out of date, or when a
package comes under a licence that is not of these families: MIT, ISC, BSD, Apache-2.0 and the terms of the DejaVu fonts.

Girthlog itself is under the [MIT licence](../LICENSE). Two parts that no list of packages shows:

| Part | Licence | Where |
|---|---|---|
| SQLite | public domain | compiled into better-sqlite3 |
| Node.js | MIT, with the parts named in its own licence file | in the Debian package only, beside its licence |

The Debian package carries the text of every licence below in \`/usr/share/doc/girthlog/third-party-licences.txt\`, and the same
list for machines as CycloneDX in \`sbom.cdx.json\` ([the one of this tree](sbom.cdx.json)).
`;

function document() {
  const packages = dependencies(root);
  const table = use => [
    '| Package | Version | Licence |',
    '|---|---|---|',
    ...packages
      .filter(one => one.use === use)
      .map(({ name, version, licence }) => `| ${name} | ${version} | ${licence} |`),
  ];
  return `${[
    INTRODUCTION,
    '## What the programs and the page load',
    '',
    ...table('runs'),
    '',
    '## What only fetches or compiles a native part while installing from the registry',
    '',
    'Not in the Debian package.',
    '',
    ...table('installs'),
  ].join('\n')}\n`;
}

const refused = dependencies(root).filter(({ licence }) => !ALLOWED_LICENCES.includes(licence));
if (refused.length > 0) {
  for (const { name, version, licence } of refused) {
    process.stderr.write(
      `${name} ${version} is under "${licence}", which is not among the allowed licences\n`,
    );
  }
  process.exitCode = 1;
} else if (process.argv.includes('--check')) {
  if (readFileSync(file, 'utf8') !== document()) {
    process.stderr.write('docs/licences.md is out of date: run "npm run licences"\n');
    process.exitCode = 1;
  }
} else {
  writeFileSync(file, document());
}
