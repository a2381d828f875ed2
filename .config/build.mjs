/**
 * Builds the programs and the browser page into dist/: one bundle per program with its packages, which
 * starts in half the time; only native add-ons are left in node_modules. Types are checked apart
 * (`npm run types`), so this takes seconds.
 */
import { chmod, cp, mkdir, rm, stat } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';
import { build as buildPage } from 'vite';
import { EXTERNAL_PACKAGES } from './external-packages.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const dist = process.env.GIRTHLOG_DIST ?? join(root, 'dist');

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
    external: id => EXTERNAL_PACKAGES.some(name => id === name || id.startsWith(`${name}/`)),
    logLevel: 'warn',
  });
  await bundle.write({
    file: join(dist, `${name}.js`),
    format: 'esm',
    sourcemap: true,
    codeSplitting: false,
  });
  await chmod(join(dist, `${name}.js`), 0o755);
}
await cp(join(root, 'simulator/lessons'), join(dist, 'lessons'), { recursive: true });
if (await exists(join(root, 'dashboard/web/index.html'))) {
  await buildPage({ configFile: join(root, '.config/vite.config.mjs'), logLevel: 'warn' });
}
