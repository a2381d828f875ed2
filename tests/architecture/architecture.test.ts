/** The rules of DEVELOPERS.md that a machine can keep. */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { basename, dirname, join, relative, resolve } from 'node:path';
import { describe, expect, test } from 'vitest';

const root = resolve(import.meta.dirname, '../..');
const tracked = execFileSync('git', ['ls-files', '-z', '--cached', '--others', '--exclude-standard'], {
  cwd: root,
})
  .toString()
  .split('\0')
  .filter(Boolean);
const sources = tracked.filter(file => /\.tsx?$/.test(file));
const read = (file: string): string => readFileSync(join(root, file), 'utf8');

const ROOMS = ['shared-core', 'edge', 'dashboard/server', 'dashboard/web', 'simulator', 'tests'] as const;
type Room = (typeof ROOMS)[number];

function roomOf(file: string): Room | null {
  return ROOMS.find(room => file.startsWith(`${room}/`)) ?? null;
}

/** npm packages each room may import, beside node: in the rooms that run on Node. */
const PROGRAM = ['commander', 'pino', 'smol-toml', 'zod'];
const PACKAGES: Record<Exclude<Room, 'tests'>, readonly string[]> = {
  'shared-core': ['zod'],
  edge: [...PROGRAM, 'serialport', 'mqtt', 'better-sqlite3', 'csv-parse', 'modbus-serial'],
  'dashboard/server': [
    ...PROGRAM,
    'express',
    'mqtt',
    'aedes',
    'better-sqlite3',
    'influx',
    'pg',
    'helmet',
    'express-rate-limit',
    'prom-client',
    'pdfkit',
    'fflate',
    'dejavu-fonts-ttf',
    '@peculiar/x509',
    'reflect-metadata',
    'csv-parse',
  ],
  'dashboard/web': ['preact', '@preact/signals', 'chart.js', 'chartjs-plugin-annotation'],
  simulator: [...PROGRAM, 'serialport'],
};

function importsOf(file: string): string[] {
  const pattern =
    /(?:^|\n)\s*(?:import|export)\s[^'"]*?from\s*'([^']+)'|import\(\s*'([^']+)'\s*\)|(?:^|\n)\s*import\s*'([^']+)'/g;
  return [...read(file).matchAll(pattern)].map(match => (match[1] ?? match[2] ?? match[3])!);
}

describe('arrows between rooms', () => {
  const production = sources.filter(file => roomOf(file) !== null && roomOf(file) !== 'tests');

  test('there are files to check in every room', () => {
    for (const room of ROOMS)
      expect(
        sources.some(file => roomOf(file) === room),
        room,
      ).toBe(true);
  });

  test.each(ROOMS.filter(room => room !== 'tests'))(
    '%s imports only itself, shared-core and its own packages',
    room => {
      const wrong = production
        .filter(file => roomOf(file) === room)
        .flatMap(file =>
          importsOf(file)
            .filter(target => !mayImport(room as Exclude<Room, 'tests'>, file, target))
            .map(target => `${file} → ${target}`),
        );
      expect(wrong).toEqual([]);
    },
  );

  function mayImport(room: Exclude<Room, 'tests'>, file: string, target: string): boolean {
    if (target.startsWith('#core/')) return room !== 'shared-core';
    if (target.startsWith('.')) {
      const path = relative(root, resolve(root, dirname(file), target));
      return roomOf(path) === room || path === 'package.json';
    }
    if (target.startsWith('node:')) return room !== 'shared-core' && room !== 'dashboard/web';
    const parts = target.split('/');
    const name = target.startsWith('@') ? parts.slice(0, 2).join('/') : parts[0]!;
    return PACKAGES[room].includes(name);
  }
});

test('shared-core is pure: no clock, no randomness, no process, no console, no timers', () => {
  const impure =
    /\b(Date\.now|new Date\(\)|Math\.random|performance\.now|process\.\w|console\.|setTimeout|setInterval)/;
  const wrong = sources
    .filter(file => file.startsWith('shared-core/'))
    .flatMap(file =>
      read(file)
        .split('\n')
        .flatMap((line, i) => (impure.test(line.replace(/\/?\*.*|\/\/.*/, '')) ? [`${file}:${i + 1}`] : [])),
    );
  expect(wrong).toEqual([]);
});

test('nothing parked: no .only, no .skip without a reason, no marks of unfinished work', () => {
  const parked = new RegExp(
    String.raw`\b(it|test|describe)\.only\(|\b(${['TO', 'DO'].join('')}|FIX${'ME'}|HA${'CK'}|XX${'X'})\b`,
  );
  const wrong = sources
    .filter(file => !file.startsWith('tests/architecture/'))
    .filter(file => parked.test(read(file)));
  expect(wrong).toEqual([]);
});

test('no source file is longer than 300 lines, and none is named after nothing it exports', () => {
  const long = sources.filter(file => read(file).split('\n').length > 301);
  expect(long).toEqual([]);
  const unnamed = sources
    .filter(file => roomOf(file) !== 'tests' && roomOf(file) !== null)
    .filter(
      file => !/\bexport\b/.test(read(file)) && !/(main|worker|check-node)\.tsx?$/.test(basename(file)),
    );
  expect(unnamed).toEqual([]);
});

test('the top level is the one agreed', () => {
  const top = [...new Set(tracked.map(file => file.split('/')[0]!))].filter(name => !name.startsWith('.'));
  const agreed = [
    'package.json',
    'package-lock.json',
    'tsconfig.json',
    'README.md',
    'DEVELOPERS.md',
    'CHANGELOG.md',
    'LICENSE',
    'docs',
    'edge',
    'dashboard',
    'shared-core',
    'simulator',
    'tests',
  ];
  expect(top.filter(name => !agreed.includes(name))).toEqual([]);
});

test('every folder of the rooms stands in the map of DEVELOPERS.md', () => {
  const map = read('DEVELOPERS.md');
  const folders = new Set(
    sources
      .filter(file => roomOf(file) !== 'tests' && roomOf(file) !== null)
      .map(file => dirname(file))
      .filter(folder => (ROOMS as readonly string[]).includes(dirname(folder))),
  );
  expect([...folders].filter(folder => !map.includes(`\`${basename(folder)}\``))).toEqual([]);
});
