import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { pageShell } from './page-shell.mjs';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');

export default {
  root: join(root, 'dashboard/web'),
  base: '/',
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [pageShell(join(root, 'dashboard/web'))],
  build: {
    // The worker is a script of its own, at the top and under one name, or it could not stand before the page.
    rolldownOptions: {
      input: {
        index: join(root, 'dashboard/web/index.html'),
        'service-worker': join(root, 'dashboard/web/offline/service-worker.ts'),
      },
      output: {
        entryFileNames: ({ name }) => (name === 'service-worker' ? '[name].js' : 'assets/[name]-[hash].js'),
      },
    },
    outDir: join(process.env.GIRTHLOG_DIST ?? join(root, 'dist'), 'web'),
    emptyOutDir: true,
    target: 'es2022',
    chunkSizeWarningLimit: 900,
  },
};
