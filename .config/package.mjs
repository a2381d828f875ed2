/**
 * `npm run package`: builds girthlog_<version>_<arch>.deb of the last commit, for this machine's architecture, into
 * .cache/package. The same commit, packages and Node give the same bytes: files are owned by root, sorted, and dated
 * SOURCE_DATE_EPOCH (the commit's, unless the environment says otherwise).
 * Options: --version X instead of package.json's; --into FOLDER; --commit X instead of the last; --worktree for the
 * files as they lie; --quick compresses less.
 */
import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  chmodSync,
  cpSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { layTree } from './package-tree.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const { values } = parseArgs({
  options: {
    version: { type: 'string' },
    into: { type: 'string' },
    worktree: { type: 'boolean' },
    quick: { type: 'boolean' },
    commit: { type: 'string' },
  },
});
const FILES = ['package.json', 'package-lock.json', 'tsconfig.json', 'CHANGELOG.md', 'LICENSE'];
const version = values.version ?? JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')).version;
const into = resolve(values.into ?? join(root, '.cache/package'));
const work = join(root, '.cache/package/work', version);

const run = (command, args, options = {}) => execFileSync(command, args, { encoding: 'utf8', ...options });
const epoch =
  process.env.SOURCE_DATE_EPOCH ??
  run('git', ['log', '-1', '--format=%ct', values.commit ?? 'HEAD'], { cwd: root }).trim();
if (!/^\d+$/.test(epoch))
  throw new Error('say SOURCE_DATE_EPOCH: this folder has no commit to take a date from');
const architecture = run('dpkg', ['--print-architecture']).trim();

/** The sources with their version, beside the packages as they are installed: no folder of this machine is named. */
function laySources(folder) {
  mkdirSync(folder, { recursive: true });
  if (values.worktree) {
    for (const name of ['edge', 'dashboard', 'shared-core', 'simulator', '.config', 'docs', ...FILES]) {
      cpSync(join(root, name), join(folder, name), { recursive: true });
    }
  } else {
    const changed = run('git', ['status', '--porcelain'], { cwd: root }).split('\n').length - 1;
    if (changed > 0 && !values.commit)
      process.stderr.write(`packaging the last commit; ${changed} changed files are not in it\n`);
    const archive = run('git', ['archive', values.commit ?? 'HEAD'], {
      cwd: root,
      encoding: 'buffer',
      maxBuffer: 512 * 1024 * 1024,
    });
    run('tar', ['-x'], { cwd: folder, input: archive });
    rmSync(join(folder, 'tests'), { recursive: true });
  }
  const manifest = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
  writeFileSync(join(folder, 'package.json'), `${JSON.stringify({ ...manifest, version }, null, 2)}\n`);
  symlinkSync(join(root, 'node_modules'), join(folder, 'node_modules'));
}

/** Depends of every compiled file, from the symbols it uses, as Debian's own tool tells them. */
function sharedLibraries(tree, files) {
  const folder = join(work, 'shlibs');
  mkdirSync(join(folder, 'debian'), { recursive: true });
  writeFileSync(join(folder, 'debian/control'), 'Source: girthlog\n\nPackage: girthlog\nArchitecture: any\n');
  const out = run('dpkg-shlibdeps', ['-O', '--ignore-missing-info', ...files.map(file => join(tree, file))], {
    cwd: folder,
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  const [, depends] = /^shlibs:Depends=(.+)$/m.exec(out) ?? [];
  if (depends === undefined) throw new Error('dpkg-shlibdeps names no library: is dpkg-dev installed?');
  return depends;
}

/** Everything dated, and modes that do not depend on the umask of whoever builds. */
function settle(folder) {
  let bytes = 0;
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) bytes += 4096 + settle(path);
    else {
      const { size, mode } = statSync(path);
      chmodSync(path, mode & 0o100 ? 0o755 : 0o644);
      bytes += Math.ceil(size / 1024) * 1024;
    }
  }
  chmodSync(folder, 0o755);
  return bytes;
}

function md5sums(tree, folder = '') {
  return readdirSync(join(tree, folder), { withFileTypes: true })
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap(entry => {
      const path = folder === '' ? entry.name : `${folder}/${entry.name}`;
      if (path === 'DEBIAN' || path === 'etc') return [];
      if (entry.isDirectory()) return md5sums(tree, path);
      return [
        `${createHash('md5')
          .update(readFileSync(join(tree, path)))
          .digest('hex')}  ${path}\n`,
      ];
    });
}

rmSync(work, { recursive: true, force: true });
const sources = join(work, 'source');
laySources(sources);
const dist = join(work, 'dist');
run(process.execPath, ['.config/build.mjs'], {
  cwd: sources,
  env: { ...process.env, GIRTHLOG_DIST: dist },
  stdio: ['ignore', 'ignore', 'inherit'],
});
const tree = join(work, 'tree');
const { compiled, scripts, conffiles } = await layTree({
  sources,
  dist,
  tree,
  version,
  epoch: Number(epoch),
});
const control = join(tree, 'DEBIAN');
mkdirSync(control, { recursive: true });
for (const [name, text] of Object.entries(scripts)) {
  writeFileSync(join(control, name), text);
  chmodSync(join(control, name), 0o755);
}
writeFileSync(join(control, 'conffiles'), conffiles.map(path => `${path}\n`).join(''));
const bytes = settle(tree);
writeFileSync(join(control, 'md5sums'), md5sums(tree).join(''));
const fields = {
  VERSION: version.replace('-', '~'),
  ARCHITECTURE: architecture,
  INSTALLED_SIZE: String(Math.ceil(bytes / 1024)),
  SHARED_LIBRARIES: sharedLibraries(tree, compiled),
};
const template = readFileSync(join(sources, '.config/debian/control'), 'utf8');
writeFileSync(
  join(control, 'control'),
  template.replaceAll(/@([A-Z_]+)@/g, (_, name) => fields[name]),
);
mkdirSync(into, { recursive: true });
const file = join(into, `girthlog_${fields.VERSION}_${architecture}.deb`);
run(
  'dpkg-deb',
  [
    '--root-owner-group',
    '--threads-max=1',
    ...(values.quick ? ['-Zgzip', '-z1'] : ['-Zxz', '-z6']),
    '--build',
    tree,
    file,
  ],
  {
    env: { ...process.env, SOURCE_DATE_EPOCH: epoch },
  },
);
rmSync(work, { recursive: true, force: true });
const digest = createHash('sha256').update(readFileSync(file)).digest('hex');
writeFileSync(`${file}.sha256`, `${digest}  girthlog_${fields.VERSION}_${architecture}.deb\n`);
process.stdout.write(`${file}\n${(statSync(file).size / 1e6).toFixed(1)} MB, sha256 ${digest}\n`);
