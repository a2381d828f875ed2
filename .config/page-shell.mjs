/**
 * The service worker of the page: a script of its own at /service-worker.js, told which files this build has and
 * their common hash. Same files, same hash; any change makes a new worker, and the browser then drops the old files.
 */
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

const NAME = 'service-worker.js';

export function pageShell(root) {
  return {
    name: 'page-shell',
    enforce: 'post',
    generateBundle: {
      order: 'post',
      handler(_options, bundle) {
        const worker = bundle[NAME];
        if (worker === undefined) throw new Error(`the page has no ${NAME}`);
        const files = Object.values(bundle)
          .filter(file => file.fileName !== NAME && !file.fileName.endsWith('.map'))
          .map(file => [`/${file.fileName}`, file.type === 'chunk' ? file.code : file.source]);
        const fixed = readdirSync(join(root, 'public')).map(name => [
          `/${name}`,
          readFileSync(join(root, 'public', name)),
        ]);
        const all = [...files, ...fixed].sort(([a], [b]) => (a < b ? -1 : 1));
        const hash = createHash('sha256');
        for (const [path, content] of all) hash.update(`${path}\0`).update(content);
        worker.code = worker.code
          .replaceAll('__SHELL_HASH__', JSON.stringify(hash.digest('hex').slice(0, 16)))
          .replaceAll('__SHELL_FILES__', JSON.stringify(all.map(([path]) => path)));
      },
    },
  };
}
