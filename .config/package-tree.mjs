/** Lays what a Debian package of Girthlog holds into a folder: programs, Node, units, documents, maintainer scripts. */
import { execFileSync } from 'node:child_process';
import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  realpathSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { rolldown } from 'rolldown';
import { EXTERNAL_PACKAGES } from './external-packages.mjs';
import { dependencies, licenceText } from './package-dependencies.mjs';
import { runtimePackages } from './package-runtime.mjs';
import { billOfMaterials } from './package-sbom.mjs';

const PROGRAMS = ['girthlog-edge', 'girthlog-dashboard', 'girthlog-simulator'];
/** Of a checkout only; what V8 compiled differs from build to build, and a package is the same bytes every time. */
const NOT_SHIPPED = /\.map$|\.v8$|^(?:bench|girthlog-demo)\.js$/;
const LIB = 'usr/lib/girthlog';
const DOC = 'usr/share/doc/girthlog';
/** Libraries that a Debian system has anyway: a Node that needs others is not one to carry along. */
const SYSTEM_LIBRARIES = /^(?:ld-linux|lib(?:c|m|dl|pthread|rt|gcc_s|stdc\+\+)\.so)/;

export async function layTree({ sources, dist, tree, version, epoch }) {
  const put = (path, content, mode = 0o644) => {
    mkdirSync(dirname(join(tree, path)), { recursive: true });
    writeFileSync(join(tree, path), content);
    chmodSync(join(tree, path), mode);
  };
  const part = name => readFileSync(join(sources, '.config/debian', name), 'utf8');

  const node = ownNode();
  cpSync(node.file, mkdirFor(join(tree, LIB, 'bin/node')));
  chmodSync(join(tree, LIB, 'bin/node'), 0o755);
  put(`${DOC}/node-licence.txt`, readFileSync(node.licence));
  const { name, type, license, engines, description } = JSON.parse(
    readFileSync(join(sources, 'package.json'), 'utf8'),
  );
  const about = { name, version, description, license, private: true, type, engines };
  put(`${LIB}/package.json`, `${JSON.stringify(about, null, 2)}\n`);
  for (const entry of readdirSync(dist)) {
    if (NOT_SHIPPED.test(entry)) continue;
    cpSync(join(dist, entry), mkdirFor(join(tree, LIB, 'dist', entry)), {
      recursive: true,
      filter: path => !path.endsWith('.map'),
    });
    // Started by the Node beside them, not by themselves.
    if (entry.endsWith('.js')) chmodSync(join(tree, LIB, 'dist', entry), 0o644);
  }
  const compiled = [`${LIB}/bin/node`];
  for (const { folder, files } of runtimePackages(sources)) {
    for (const file of files) {
      const path = `${LIB}/${folder}/${file}`;
      put(path, readFileSync(join(sources, folder, file)));
      if (file.endsWith('.node')) compiled.push(path);
    }
  }
  for (const program of PROGRAMS) {
    put(`usr/bin/${program}`, part('wrapper.sh').replaceAll('@PROGRAM@', program), 0o755);
    put(
      `usr/share/man/man1/${program}.1.gz`,
      gzip(manualPage(program, join(dist, `${program}.js`), version)),
    );
  }

  const units = join(sources, 'docs/systemd');
  for (const unit of readdirSync(units).filter(one => /\.(?:service|timer)$/.test(one))) {
    put(`usr/lib/systemd/system/${unit}`, installedUnit(readFileSync(join(units, unit), 'utf8')));
  }
  put('usr/lib/sysusers.d/girthlog.conf', part('sysusers.conf'));
  put('usr/lib/tmpfiles.d/girthlog.conf', part('tmpfiles.conf'));
  const conffiles = ['dashboard.toml.example', 'edge-rig.toml.example'].map(example => {
    put(`etc/girthlog/${example}`, part(example));
    return `/etc/girthlog/${example}`;
  });

  cpSync(join(sources, 'docs'), join(tree, DOC, 'docs'), {
    recursive: true,
    filter: path => !/\/(?:screenshots|sbom\.cdx\.json)$/.test(path),
  });
  put(`${DOC}/copyright`, copyright(sources));
  put(`${DOC}/third-party-licences.txt`, thirdPartyLicences(sources));
  put(`${DOC}/CHANGELOG.md.gz`, gzip(readFileSync(join(sources, 'CHANGELOG.md'))));
  put(`${DOC}/changelog.gz`, gzip(debianChangelog(version, epoch)));
  put(`${DOC}/sbom.cdx.json`, billOfMaterials([nodeComponent()], sources));

  const { STORE_VERSION, LAYOUT } = await layouts(sources);
  const fields = { VERSION: version, EDGE_LAYOUT: STORE_VERSION, DASHBOARD_LAYOUT: LAYOUT };
  const scripts = Object.fromEntries(
    ['preinst', 'postinst', 'prerm', 'postrm'].map(script => [
      script,
      part(script)
        .replace('#LAYOUTS#\n', part('layouts.sh'))
        .replaceAll(/@([A-Z_]+)@/g, (_, field) => String(fields[field])),
    ]),
  );
  return { compiled, scripts, conffiles };
}

function mkdirFor(path) {
  mkdirSync(dirname(path), { recursive: true });
  return path;
}

const gzip = content => gzipSync(content, { level: 9 });

/** The Node that runs this build, if it stands by itself, with its licence. */
function ownNode() {
  const file = realpathSync(process.execPath);
  const needed = [
    ...execFileSync('readelf', ['-d', file], { encoding: 'utf8' }).matchAll(/\(NEEDED\).*\[(.+)\]/g),
  ].map(([, library]) => library);
  const more = needed.filter(library => !SYSTEM_LIBRARIES.test(library));
  if (more.length > 0) {
    throw new Error(
      `${file} needs ${more.join(', ')}: build the package with a Node.js that its makers built, which stands by itself`,
    );
  }
  const beside = join(dirname(dirname(file)), 'LICENSE');
  const licence = [
    process.env.NODE_LICENCE,
    beside,
    '/usr/share/doc/nodejs/LICENSE',
    '/usr/share/doc/nodejs/copyright',
  ].find(path => path && existsSync(path));
  if (licence === undefined)
    throw new Error(`the licence of ${file} is not to be found: name its file in NODE_LICENCE`);
  return { file, licence };
}

function nodeComponent() {
  const version = process.versions.node;
  return {
    ...{ type: 'application', 'bom-ref': `node@${version}`, name: 'node', version, scope: 'required' },
    licenses: [{ license: { id: 'MIT' } }],
    purl: `pkg:generic/node@${version}`,
  };
}

/** docs/systemd is written for a checkout in /opt/girthlog. */
function installedUnit(text) {
  return text
    .replaceAll('/usr/bin/node /opt/girthlog/', `/${LIB}/bin/node /${LIB}/`)
    .replaceAll('file:///opt/girthlog/docs/', `file:///${DOC}/docs/`);
}

function copyright(sources) {
  return [
    'Format: https://www.debian.org/doc/packaging-manuals/copyright-format/1.0/',
    'Upstream-Name: girthlog',
    'Comment: The bundles contain packages of others: their texts are in third-party-licences.txt beside this file. bin/node is',
    ' Node.js, under the terms in node-licence.txt beside this file.',
    '',
    'Files: *',
    'Copyright: 2026 the Girthlog authors',
    'License: MIT',
    ...readFileSync(join(sources, 'LICENSE'), 'utf8')
      .trim()
      .split('\n')
      .slice(4)
      .map(line => (line === '' ? ' .' : ` ${line}`)),
    '',
  ].join('\n');
}

function thirdPartyLicences(sources) {
  return dependencies(sources)
    .filter(({ use }) => use === 'runs')
    .map(({ name, version, licence, folder }) => {
      const text =
        licenceText(sources, folder) ?? `(The package names its licence, ${licence}, and carries no text.)`;
      return `${'='.repeat(78)}\n${name} ${version}: ${licence}\n${'='.repeat(78)}\n\n${text}\n`;
    })
    .join('\n');
}

function debianChangelog(version, epoch) {
  const date = new Date(epoch * 1000).toUTCString().replace('GMT', '+0000');
  return `girthlog (${version.replace('-', '~')}) unstable; urgency=medium\n\n  * What changed stands in CHANGELOG.md.gz beside this file.\n\n -- The Girthlog authors <girthlog@localhost>  ${date}\n`;
}

/** From what the program says of itself. */
function manualPage(program, script, version) {
  const help = execFileSync(process.execPath, [script, '--help'], {
    encoding: 'utf8',
    env: { ...process.env, COLUMNS: '78' },
  });
  const escaped = help
    .replaceAll('\\', '\\e')
    .replaceAll('-', '\\-')
    .replaceAll(/^([.'])/gm, '\\&$1');
  const what = {
    'girthlog-edge': 'log one welding rig: samples in, passes and a durable record out',
    'girthlog-dashboard': 'collect what the edges record and show it',
    'girthlog-simulator': 'simulated girth-welding rigs for trying out and for training',
  }[program];
  return `.TH ${program.toUpperCase().replaceAll('-', '\\-')} 1 "" "girthlog ${version}"
.SH NAME
${program.replaceAll('-', '\\-')} \\- ${what.replaceAll('-', '\\-')}
.SH DESCRIPTION
.nf
${escaped.trimEnd()}
.fi
.SH SEE ALSO
/usr/share/doc/girthlog/docs
`;
}

/** What layouts of the stores these sources know. */
async function layouts(sources) {
  const entry = 'layouts-of-the-stores';
  const bundle = await rolldown({
    input: entry,
    platform: 'node',
    cwd: sources,
    external: EXTERNAL_PACKAGES,
    tsconfig: false,
    plugins: [
      {
        name: entry,
        resolveId: id => (id === entry ? join(sources, `${entry}.mjs`) : null),
        load: id =>
          id === join(sources, `${entry}.mjs`)
            ? "export { STORE_VERSION } from './edge/outbox/outbox-database.ts'; export { LAYOUT } from './dashboard/server/store/migrations.ts';"
            : null,
      },
    ],
  });
  await bundle.write({ file: join(sources, 'layouts.mjs'), format: 'esm' });
  return import(pathToFileURL(join(sources, 'layouts.mjs')).href);
}
