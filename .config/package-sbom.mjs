/**
 * `npm run sbom`: writes docs/sbom.cdx.json, the bill of materials (CycloneDX, JSON) of everything an installation
 * gets from the registry; with --check says whether it is current. npm makes it, here it is made deterministic: no
 * time, no random number, sorted.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { dependencies } from './package-dependencies.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const file = join(root, 'docs/sbom.cdx.json');
const by = key => (a, b) => (a[key] < b[key] ? -1 : 1);

/** Of the checkout in `folder`. `more`: components that npm does not know of, such as a runtime shipped along. */
export function billOfMaterials(more = [], folder = root) {
  const args = ['sbom', '--sbom-format', 'cyclonedx', '--omit', 'dev', '--package-lock-only'];
  const made = JSON.parse(
    execFileSync('npm', args, { cwd: folder, encoding: 'utf8', maxBuffer: 64 * 1024 * 1024 }),
  );
  const licences = new Map(dependencies(folder).map(one => [`${one.name}@${one.version}`, one]));
  const components = made.components
    .filter(one => licences.has(`${one.name}@${one.version}`))
    .map(({ 'bom-ref': ref, type, name, version, purl, hashes }) => {
      const { licence, use } = licences.get(`${name}@${version}`);
      const expression = /^\(.*\)$/.test(licence)
        ? [{ expression: licence.slice(1, -1) }]
        : [{ license: { id: licence } }];
      return {
        ...{ type, 'bom-ref': ref, name, version, scope: use === 'runs' ? 'required' : 'excluded' },
        ...(hashes ? { hashes } : {}),
        licenses: expression,
        purl,
      };
    });
  components.push(sqlite(), ...more);
  components.sort(by('bom-ref'));
  const known = new Set([made.metadata.component['bom-ref'], ...components.map(one => one['bom-ref'])]);
  const { version } = made.metadata.component;
  const content = {
    $schema: 'http://cyclonedx.org/schema/bom-1.5.schema.json',
    bomFormat: 'CycloneDX',
    specVersion: '1.5',
    version: 1,
    metadata: {
      component: {
        ...{ type: 'application', 'bom-ref': made.metadata.component['bom-ref'], name: 'girthlog', version },
        licenses: [{ license: { id: 'MIT' } }],
        purl: `pkg:npm/girthlog@${version}`,
      },
    },
    components,
    dependencies: made.dependencies
      .filter(({ ref }) => known.has(ref))
      .map(({ ref, dependsOn }) => ({
        ref,
        dependsOn: [...new Set(dependsOn)].filter(one => known.has(one)).sort(),
      }))
      .sort(by('ref')),
  };
  // A number of its own for each content, and the same one for the same content.
  const digest = createHash('sha256').update(JSON.stringify(content)).digest('hex');
  const [, a, b, c, d, e] = /^(.{8})(.{4}).(.{3}).(.{3})(.{12})/.exec(digest);
  const { $schema, bomFormat, specVersion, ...rest } = content;
  const serialNumber = `urn:uuid:${a}-${b}-8${c}-8${d}-${e}`;
  return `${JSON.stringify({ $schema, bomFormat, specVersion, serialNumber, ...rest }, null, 1)}\n`;
}

/** Compiled into better-sqlite3; asked of the library itself. */
function sqlite() {
  const Database = createRequire(join(root, 'package.json'))('better-sqlite3');
  const db = new Database(':memory:');
  const version = db.prepare('SELECT sqlite_version()').pluck().get();
  db.close();
  return {
    ...{ type: 'library', 'bom-ref': `sqlite@${version}`, name: 'sqlite', version, scope: 'required' },
    licenses: [{ license: { id: 'blessing' } }],
    purl: `pkg:generic/sqlite@${version}`,
  };
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  if (process.argv.includes('--check')) {
    if (readFileSync(file, 'utf8') !== billOfMaterials()) {
      process.stderr.write('docs/sbom.cdx.json is out of date: run "npm run sbom"\n');
      process.exitCode = 1;
    }
  } else {
    writeFileSync(file, billOfMaterials());
  }
}
