/**
 * Keeps the page, never data: the files of one build, under that build's hash. Anything below /api is not touched.
 * Opening the page asks the server first, so a new server's page is always the one shown; the kept one is for when
 * nobody answers. A new build deletes the files of the old one.
 */

interface WorkerEvent extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface InstallEvent extends WorkerEvent {
  /** Static routing; not in every browser yet. */
  addRoutes?(rule: {
    readonly condition: { readonly urlPattern: string };
    readonly source: 'network';
  }): Promise<void>;
}
interface FetchEvent extends WorkerEvent {
  readonly request: Request;
  respondWith(answer: Promise<Response>): void;
}
interface Worker {
  readonly location: Location;
  readonly caches: CacheStorage;
  readonly clients: { claim(): Promise<void> };
  skipWaiting(): Promise<void>;
  addEventListener(name: 'install', listener: (event: InstallEvent) => void): void;
  addEventListener(name: 'activate', listener: (event: WorkerEvent) => void): void;
  addEventListener(name: 'fetch', listener: (event: FetchEvent) => void): void;
}

// Both are written in by the build (.config/page-shell.mjs).
declare const __SHELL_HASH__: string;
declare const __SHELL_FILES__: readonly string[];

const worker = globalThis as unknown as Worker;
const CACHE = `girthlog-page-${__SHELL_HASH__}`;
const PAGE = '/index.html';
const FILES: ReadonlySet<string> = new Set(__SHELL_FILES__);

async function kept(path: string): Promise<Response | undefined> {
  const cache = await worker.caches.open(CACHE);
  return cache.match(path);
}

worker.addEventListener('install', event => {
  // Data does not even wake the worker, where the browser can be told so; the rule below says the same to the others.
  const routed = event.addRoutes?.({ condition: { urlPattern: '/api/*' }, source: 'network' });
  if (routed !== undefined) event.waitUntil(routed);
  event.waitUntil(
    (async () => {
      const cache = await worker.caches.open(CACHE);
      // Past the browser's own cache: what is kept is what the server has now.
      await cache.addAll([...FILES].map(path => new Request(path, { cache: 'reload' })));
      // Not waited for: it is done once this has ended, and waiting here for it blocks every later update.
      void worker.skipWaiting();
    })(),
  );
});

worker.addEventListener('activate', event => {
  event.waitUntil(
    (async () => {
      const names = await worker.caches.keys();
      await Promise.all(names.filter(name => name !== CACHE).map(name => worker.caches.delete(name)));
      await worker.clients.claim();
    })(),
  );
});

worker.addEventListener('fetch', event => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== 'GET' || origin !== worker.location.origin) return;
  // The page is at /; every other view is behind its #.
  if (request.mode === 'navigate') {
    if (pathname !== '/' && pathname !== PAGE) return;
    event.respondWith(fetch(request).catch(async () => (await kept(PAGE)) ?? Response.error()));
    return;
  }
  if (!FILES.has(pathname)) return;
  event.respondWith(kept(pathname).then(found => found ?? fetch(request)));
});
