/** The page's requests answered by a test server's own routes instead of the stand-in's. */

import type { Page } from 'playwright-core';
import { TRAINER_HEADER } from '#core/training/names';

interface Answers {
  readonly get: (path: string, headers?: Record<string, string>) => Promise<Response>;
  readonly post: (path: string, body: unknown, headers?: Record<string, string>) => Promise<Response>;
  readonly remove: (path: string, headers?: Record<string, string>) => Promise<Response>;
}

/** `paths`: the requests that go to `server`; the others stay with whoever answers them. */
export async function throughServer(page: Page, server: Answers, paths: RegExp): Promise<void> {
  await page.route(paths, async route => {
    const request = route.request();
    const { pathname, search } = new URL(request.url());
    const asked = await request.allHeaders();
    const kept = Object.fromEntries(
      [TRAINER_HEADER, 'x-girthlog'].flatMap(name =>
        asked[name] === undefined ? [] : [[name, asked[name]]],
      ),
    );
    const answer =
      request.method() === 'POST'
        ? await server.post(pathname, request.postDataJSON(), kept)
        : request.method() === 'DELETE'
          ? await server.remove(pathname, kept)
          : await server.get(`${pathname}${search}`, kept);
    const headers = Object.fromEntries(
      ['content-type', 'content-disposition'].flatMap(name => {
        const value = answer.headers.get(name);
        return value === null ? [] : [[name, value]];
      }),
    );
    await route.fulfill({
      status: answer.status,
      headers,
      body: Buffer.from(await answer.arrayBuffer()),
    });
  });
}

/** Another address in the page that is open. */
export const goTo = (page: Page, hash: string): Promise<void> =>
  page.evaluate(to => {
    location.hash = to;
  }, hash);
