/**
 * Builds the programs and the browser page into dist/: one bundle per program with its packages, which
 * starts in half the time; only native add-ons are left in node_modules. Types are checked apart
 * (`npm run types`), so this takes seconds.
 */
import { chmod, cp, mkdir, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';
import { build as buildPage } from 'vite';
import { EXTERNAL_PACKAGES } from './external-packages.mjs';
import { keepCompiled } from './keep-compiled.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const dist = process.env.GIRTHLOG_DIST ?? join(root, 'dist');

/** Those that are started often and must be there soon: run by a launcher from what V8 has compiled before. */
const LAUNCHED = ['girthlog-edge', 'girthlog-dashboard', 'broker'];

/** Output name → entry. Each is loaded on its own: a program, a worker or a child process. */
const programs = {
  'girthlog-edge': 'edge/main.ts',
  'capture-worker': 'edge/outbox/capture-worker.ts',
  'girthlog-dashboard': 'dashboard/server/main.ts',
  broker: 'dashboard/server/broker/main.ts',
  'girthlog-simulator': 'simulator/main.ts',
  'girthlog-demo': 'simulator/demo/main.ts',
  bench: 'tests/bench/main.ts',
  fuzz: 'tests/fuzz/main.ts',
};

/** The launcher calls the script's function with what a CommonJS module has. */
const HEAD = '(function (exports, require, module, __filename, __dirname) {';

/** For tests and benchmarks only: never shipped. */
const OF_TESTS = ['playwright-core'];

const exists = path =>
  stat(path).then(
    () => true,
    () => false,
  );

await rm(dist, { recursive: true, force: true });
await mkdir(dist, { recursive: true });
for (const [name, entry] of Object.entries(programs)) {
  if (!(await exists(join(root, entry)))) continue;
  const bundle = await rolldown({
    input: join(root, entry),
    platform: 'node',
    external: id =>
      [...EXTERNAL_PACKAGES, ...OF_TESTS].some(name => id === name || id.startsWith(`${name}/`)),
    logLevel: 'warn',
  });
  const common = { sourcemap: true, codeSplitting: false };
  if (LAUNCHED.includes(name)) {
    // A script that is given what a CommonJS module has: only that can be compiled beforehand in Node 20.
    const file = join(dist, `${name}.cjs`);
    await bundle.write({ ...common, file, format: 'cjs', dynamicImportInCjs: false });
    const text = await readFile(file, 'utf8');
    await writeFile(
      file,
      text
        .replace(/^#!.*/, '')
        .replace(/^/, HEAD)
        .replace(/(\n\/\/# source.*)?\s*$/, '\n})$1\n'),
    );
    await cp(join(root, '.config/launcher.mjs'), join(dist, `${name}.js`));
  } else await bundle.write({ ...common, file: join(dist, `${name}.js`), format: 'esm' });
  await chmod(join(dist, `${name}.js`), 0o755);
}
await cp(join(root, 'simulator/lessons'), join(dist, 'lessons'), { recursive: true });
if (await exists(join(root, 'dashboard/web/index.html'))) {
  await buildPage({ configFile: join(root, '.config/vite.config.mjs'), logLevel: 'warn' });
}
await keepCompiled(dist);
