import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Express, static as expressStatic } from 'express';

/** The built page; every other address that a browser opens is a view of it. */
export function addPage(app: Express, serveFiles: typeof expressStatic, directory: string): void {
  const index = join(directory, 'index.html');
  app.use(
    '/assets',
    serveFiles(join(directory, 'assets'), { immutable: true, maxAge: '1y', fallthrough: true }),
  );
  app.use(serveFiles(directory, { index: false, cacheControl: false, dotfiles: 'ignore' }));
  app.use((request, response, next) => {
    // The front door opens to whoever knocks; any other address is a view only to what asks for one.
    const asks = request.path === '/' || request.accepts(['json', 'html']) === 'html';
    const reads = request.method === 'GET' || request.method === 'HEAD';
    if (!reads || !asks || /\.\w+$/.test(request.path)) return next();
    if (!existsSync(index)) {
      response.status(503).type('text').send('The page is not built: run "npm run build".\n');
      return;
    }
    // By root: a directory above whose name begins with a dot hides nothing.
    response.set('cache-control', 'no-cache').sendFile('index.html', { root: directory });
  });
}
