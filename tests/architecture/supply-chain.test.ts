/** What is taken in from others: pinned, checked by hash, from the registry alone, under licences that were looked at. */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { expect, test } from 'vitest';

const root = resolve(import.meta.dirname, '../..');
const json = (file: string) => JSON.parse(readFileSync(join(root, file), 'utf8'));

interface Locked {
  readonly version: string;
  readonly resolved?: string;
  readonly integrity?: string;
  readonly link?: boolean;
  readonly hasInstallScript?: boolean;
}
const { packages } = json('package-lock.json') as { packages: Record<string, Locked> };
const locked = Object.entries(packages).filter(([folder]) => folder !== '');
const manifest = json('package.json') as {
  version: string;
  dependencies: Record<string, string>;
  devDependencies: Record<string, string>;
  allowScripts: Record<string, boolean>;
};

/** These compile or fetch a native part when they are installed (SQLite's prebuilt file); nothing else may run then. */
const WITH_INSTALL_SCRIPT = ['@serialport/bindings-cpp', 'better-sqlite3'];

test('every package is one exact version', () => {
  const all = { ...manifest.dependencies, ...manifest.devDependencies };
  expect(Object.entries(all).filter(([, version]) => !/^\d+\.\d+\.\d+(?:-[\w.]+)?$/.test(version))).toEqual(
    [],
  );
});

test('every package of the lock file has its hash, and none an address of its own: all come from the registry', () => {
  expect(locked.length).toBeGreaterThan(100);
  const elsewhere = locked.filter(([, { resolved, link }]) => link || resolved !== undefined);
  expect(elsewhere.map(([folder]) => folder)).toEqual([]);
  const unhashed = locked.filter(([, { integrity }]) => !/^sha512-/.test(integrity ?? ''));
  expect(unhashed.map(([folder]) => folder)).toEqual([]);
});

test('two packages may run something when they are installed', () => {
  const scripted = locked
    .filter(([, { hasInstallScript }]) => hasInstallScript)
    .map(([folder]) => folder.slice(folder.lastIndexOf('node_modules/') + 'node_modules/'.length));
  expect([...new Set(scripted)].filter(name => !WITH_INSTALL_SCRIPT.includes(name))).toEqual([]);
  expect(Object.keys(manifest.allowScripts).sort()).toEqual(WITH_INSTALL_SCRIPT);
});

test.each([
  [
    'docs/licences.md is current and every licence allowed (npm run licences writes it)',
    'package-licences.mjs',
  ],
  ['docs/sbom.cdx.json is current (npm run sbom writes it)', 'package-sbom.mjs'],
])('%s', (_, script) => {
  const args = [join(root, '.config', script), '--check'];
  const { status, stderr } = spawnSync(process.execPath, args, { cwd: root, encoding: 'utf8' });
  expect({ status, said: stderr }).toEqual({ status: 0, said: '' });
});

test('the change log begins with the version of the package', () => {
  const [, newest] = /^## (\S+), /m.exec(readFileSync(join(root, 'CHANGELOG.md'), 'utf8')) ?? [];
  expect(newest).toBe(manifest.version);
});
