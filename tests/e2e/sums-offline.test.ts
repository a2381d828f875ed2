import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { noChromium } from '../support/browser.ts';
import { builtPage } from '../support/built-page.ts';
import { ownContext } from '../support/shared-chromium.ts';
import { waitUntil } from '../support/wait-until.ts';

const CSP = "default-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'";
const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
};

/** Serves one build under the product's policy, and an API that has nothing to tell. */
class PageServer {
  folder: string;
  apiAsked = 0;
  port = 0;
  #server: Server | null = null;

  constructor(folder: string) {
    this.folder = folder;
  }

  async start(): Promise<void> {
    const server = createServer((request, response) => {
      const path = (request.url ?? '/').replace(/\?.*/, '');
      if (path.startsWith('/api/')) {
        this.apiAsked += 1;
        if (path === '/api/v1/stream') {
          response.writeHead(200, { 'content-type': 'text/event-stream' }).write(': open\n\n');
          return;
        }
        response.writeHead(200, { 'content-type': 'application/json' }).end('{"procedures":[],"people":[]}');
        return;
      }
      try {
        const name = path === '/' ? '/index.html' : path;
        const content = readFileSync(join(this.folder, name));
        const type = TYPES[extname(name)] ?? 'text/plain';
        response.writeHead(200, { 'content-type': type, 'content-security-policy': CSP }).end(content);
      } catch {
        response.writeHead(404).end();
      }
    });
    await new Promise<void>(resolve => server.listen(this.port, '127.0.0.1', resolve));
    this.port = (server.address() as AddressInfo).port;
    this.#server = server;
  }

  async stop(): Promise<void> {
    this.#server?.closeAllConnections();
    await new Promise(resolve => this.#server?.close(resolve));
  }
}

/** The same page with one file changed, as the next release would have it. */
function nextBuild(from: string, to: string): void {
  cpSync(from, to, { recursive: true });
  const script = readdirSync(join(from, 'assets')).find(name => /^index-.+\.js$/.test(name))!;
  const renamed = script.replace(/-.+\.js$/, '-NextRelease.js');
  const code = readFileSync(join(from, 'assets', script), 'utf8');
  expect(code).toContain('Choose, enter, answer.');
  rmSync(join(to, 'assets', script));
  writeFileSync(join(to, 'assets', renamed), code.replace('Choose, enter, answer.', 'The next release.'));
  for (const file of ['index.html', 'service-worker.js']) {
    const text = readFileSync(join(to, file), 'utf8').replaceAll(script, renamed);
    const hash = /girthlog-page-\$\{"([0-9a-f]{16})"\}/.exec(text)?.[1];
    writeFileSync(join(to, file), hash === undefined ? text : text.replaceAll(hash, '0123456789abcdef'));
  }
}

describe.skipIf(noChromium())('the page without a network', () => {
  const folders: string[] = [];
  let server: PageServer;
  const folder = (): string => {
    const made = mkdtempSync(join(tmpdir(), 'girthlog-offline-'));
    folders.push(made);
    return made;
  };

  beforeAll(async () => {
    server = new PageServer(await builtPage());
    await server.start();
  });

  afterAll(async () => {
    await server?.stop();
    for (const one of folders) rmSync(one, { recursive: true, force: true });
  });

  async function kept(page: Page): Promise<void> {
    await page.goto(`http://127.0.0.1:${server.port}/#/sums`);
    await page.getByText('sums work without a network').waitFor();
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  }
  const cacheNames = (page: Page): Promise<string[]> => page.evaluate(() => caches.keys());
  const cachedPaths = (page: Page): Promise<string[]> =>
    page.evaluate(async () => {
      const found: string[] = [];
      for (const name of await caches.keys()) {
        const requests = await (await caches.open(name)).keys();
        found.push(...requests.map(request => new URL(request.url).pathname));
      }
      return found;
    });

  it('opens and does sums when nobody answers, and has kept no data', async () => {
    const context = await ownContext();
    const page = await context.newPage();
    await kept(page);
    await waitUntil(() => server.apiAsked > 0, 'a question to the API');
    expect((await cachedPaths(page)).map(path => path.replace(/-[\w-]{8}\./, '-*.')).toSorted()).toEqual([
      // The Spanish words too: a device set to Spanish stays Spanish without a network.
      '/assets/es-catalogue-*.js',
      '/assets/format-*.js',
      '/assets/index-*.css',
      '/assets/index-*.js',
      '/index.html',
      '/mark.svg',
    ]);
    await server.stop();
    await page.goto('about:blank');
    await page.goto(`http://127.0.0.1:${server.port}/#/sums/heat-input`);
    await page.getByLabel('arc energy', { exact: true }).fill('0.755');
    await page.getByRole('button', { name: 'Answer', exact: true }).click();
    // k = 0.8 for process 135 (EN 1011-1 Table 1): 0.755 × 0.8 = 0.604.
    await page.locator('.sum-answer', { hasText: '0.604 kJ/mm' }).waitFor();
    // Data is never answered from what is kept.
    const failed = await page.evaluate(() =>
      fetch('/api/v1/people').then(
        () => 'answered',
        () => 'failed',
      ),
    );
    expect(failed).toBe('failed');
    await server.start();
  });

  it('needs no schema library in the browser', () => {
    const scripts = readdirSync(join(server.folder, 'assets')).filter(name => name.endsWith('.js'));
    const found = scripts.filter(name =>
      readFileSync(join(server.folder, 'assets', name), 'utf8').includes('ZodError'),
    );
    expect(found).toEqual([]);
  });

  it('is replaced by a new server’s page, at once where nothing is typed, else when the person moves on', async () => {
    const context = await ownContext();
    const page = await context.newPage();
    await kept(page);
    const [first] = await cacheNames(page);
    const typing = await context.newPage();
    await typing.goto(`http://127.0.0.1:${server.port}/#/sums/heat-input`);
    await typing.getByLabel('arc energy', { exact: true }).fill('0.755');
    const live = await context.newPage();
    await live.goto(`http://127.0.0.1:${server.port}/#/`);
    const next = folder();
    nextBuild(server.folder, next);
    server.folder = next;
    // The next start of the page, as after a night: the network comes first.
    await page.reload();
    await page.getByText('The next release.').waitFor();
    await waitUntil(async () => {
      const names = await cacheNames(page);
      return names.length === 1 && names[0] !== first;
    }, 'the old files gone');
    // Where nothing is typed it is loaded at once; nobody touched this one.
    await live.waitForFunction(() => document.querySelector('script[src*="NextRelease"]') !== null);
    // The other one is told, and keeps what is typed until its person moves on.
    await typing.getByText('The dashboard has a newer version of this page.').waitFor();
    expect(await typing.getByLabel('arc energy', { exact: true }).inputValue()).toBe('0.755');
    await typing.getByRole('link', { name: 'All sums' }).click();
    await typing.getByText('The next release.').waitFor();
  });
});
