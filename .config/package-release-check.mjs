/**
 * `npm run release:check`: is this commit fit to be a release? Changes nothing. --without-audit says that a registry which
 * answers no audit is accepted; without it that is a reason to stop.
 */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const run = (command, ...args) =>
  spawnSync(command, args, { cwd: root, encoding: 'utf8', maxBuffer: 64 * 1024 * 1024 });
const lastLine = ({ stdout, stderr }) => `${stdout}${stderr}`.trim().split('\n').at(-1);

/** Each gives null, or one sentence of what does not hold. */
const CHECKS = {
  'nothing is uncommitted': () => {
    const { stdout } = run('git', 'status', '--porcelain');
    return stdout === '' ? null : `${stdout.trim().split('\n').length} files are changed or not added`;
  },
  'the version is the newest of the change log, with a date': () => {
    const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
    const [, newest, date] = /^## (\S+), (.+)$/m.exec(readFileSync(join(root, 'CHANGELOG.md'), 'utf8')) ?? [];
    if (newest !== version) return `package.json says ${version}, CHANGELOG.md begins with ${newest}`;
    return /^\d{4}-\d\d-\d\d$/.test(date)
      ? null
      : `CHANGELOG.md says "${date}" of ${newest} instead of a date`;
  },
  'the lock file belongs to package.json': () => {
    const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
    const lock = JSON.parse(readFileSync(join(root, 'package-lock.json'), 'utf8'));
    if (lock.version !== version || lock.packages[''].version !== version)
      return `package-lock.json says ${lock.version}`;
    const result = run('npm', 'ci', '--dry-run', '--ignore-scripts');
    return result.status === 0 ? null : lastLine(result);
  },
  'docs/licences.md is current, every licence is allowed': () => {
    const result = run(process.execPath, '.config/package-licences.mjs', '--check');
    return result.status === 0 ? null : lastLine(result);
  },
  'docs/sbom.cdx.json is current': () => {
    const result = run(process.execPath, '.config/package-sbom.mjs', '--check');
    return result.status === 0 ? null : lastLine(result);
  },
  'npm audit knows of nothing': () => {
    const { status, stdout } = run('npm', 'audit', '--json');
    const { vulnerabilities, metadata, message, error } = JSON.parse(stdout === '' ? '{}' : stdout);
    if (vulnerabilities === undefined) {
      const why = message ?? error?.summary ?? 'no answer';
      if (process.argv.includes('--without-audit')) {
        process.stdout.write(`look  this registry answers no audit (${why}): accepted by --without-audit\n`);
        return null;
      }
      return `this registry answers no audit (${why}): run this where one does, or say --without-audit`;
    }
    const { total } = metadata.vulnerabilities;
    return status === 0 && total === 0 ? null : `${total} known: npm audit names them`;
  },
};

let stops = 0;
for (const [what, check] of Object.entries(CHECKS)) {
  const problem = check();
  if (problem !== null) stops++;
  process.stdout.write(problem === null ? `ok    ${what}\n` : `stop  ${what}: ${problem}\n`);
}
process.stdout.write(
  stops === 0
    ? 'Fit to be released: npm run check, npm run package and npm run package:test come next.\n'
    : `${stops} to be mended first.\n`,
);
process.exitCode = stops === 0 ? 0 : 1;
