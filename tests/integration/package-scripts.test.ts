/** What the Debian package runs on the machine it comes to, and the examples it brings. The whole of it: npm run package:test. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { loadConfig as loadTruckConfig } from '../../dashboard/server/load-config.ts';
import { loadConfig } from '../../edge/config/load-config.ts';
import { tempDir } from '../support/temp-dir.ts';

const DEBIAN = resolve(import.meta.dirname, '../../.config/debian');
const part = (name: string): string => readFileSync(join(DEBIAN, name), 'utf8');

/** A maintainer script as the package has it, at work in `records` instead of /var/lib/girthlog. */
function script(name: string, records: string, layouts: { edge: number; truck: number }): string {
  return part(name)
    .replace('#LAYOUTS#\n', part('layouts.sh'))
    .replaceAll('@EDGE_LAYOUT@', `${layouts.edge}`)
    .replaceAll('@DASHBOARD_LAYOUT@', `${layouts.truck}`)
    .replaceAll('@VERSION@', '1.2.3')
    .replaceAll('/var/lib/girthlog', records);
}

function store(file: string, layout: number): void {
  mkdirSync(dirname(file), { recursive: true });
  const db = new Database(file);
  db.pragma(`user_version = ${layout}`);
  db.exec('CREATE TABLE some (thing TEXT)');
  db.close();
}

function run(text: string, ...args: string[]) {
  const { status, stderr, stdout } = spawnSync('sh', ['-c', text, 'script', ...args], { encoding: 'utf8' });
  return { status, stdout, stderr };
}

describe('before the files of a package are laid down', () => {
  it.each([
    ['both known', 3, 12, 0],
    ['older ones', 1, 2, 0],
    ['an edge’s store is newer', 4, 12, 1],
    ['the truck’s store is newer', 3, 13, 1],
    // More than one byte of the number is read.
    ['newer by far', 3, 258, 1],
  ] as const)('%s: layouts %i and %i', (_, edge, truck, status) => {
    const records = tempDir();
    store(join(records, 'edge/rig-1/edge.db'), edge);
    store(join(records, 'dashboard/dashboard.sqlite3'), truck);
    const said = run(script('preinst', records, { edge: 3, truck: 12 }), 'upgrade', '1.2.2');
    expect(said.status, said.stderr).toBe(status);
    if (status === 0) expect(said.stderr).toBe('');
    else expect(said.stderr).toMatch(/written by a newer Girthlog \(layout \d+; version 1\.2\.3 knows \d+\)/);
  });

  it('a machine without any store', () => {
    expect(run(script('preinst', tempDir(), { edge: 1, truck: 1 }), 'install')).toEqual({
      ...{ status: 0, stdout: '', stderr: '' },
    });
  });
});

it('every script is one that sh understands', () => {
  const scripts = readdirSync(DEBIAN).filter(name => /^(?:pre|post)|\.sh$/.test(name));
  expect(scripts.length).toBeGreaterThan(4);
  for (const name of scripts) {
    expect(run(`sh -n '${join(DEBIAN, name)}'`), name).toEqual({ status: 0, stdout: '', stderr: '' });
  }
});

it('the truck’s example is a configuration as it stands, where the service keeps its records', async () => {
  const { settings } = await loadTruckConfig({}, join(DEBIAN, 'dashboard.toml.example'));
  expect(settings.data).toBe('/var/lib/girthlog/dashboard');
});

it('the edge’s example is refused until the radius is filled in, and nothing else is wrong with it', () => {
  const file = join(tempDir(), 'edge-rig-1.toml');
  const text = part('edge-rig.toml.example');
  writeFileSync(file, text);
  expect(() => loadConfig({ file, set: [], env: {} })).toThrow(/reference_radius_mm/);
  writeFileSync(file, text.replace('reference_radius_mm = 0 ', 'reference_radius_mm = 325 '));
  expect(loadConfig({ file, set: [], env: {} }).config.store.path).toBe(
    '/var/lib/girthlog/edge/rig-1/edge.db',
  );
});
