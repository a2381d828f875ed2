/** The page's requests answered by a test server's own routes instead of the stand-in's. */
import type { Page } from 'playwright-core';

interface Answers {
  readonly get: (path: string) => Promise<Response>;
  readonly post: (path: string, body: unknown) => Promise<Response>;
}

/** `paths`: the requests that go to `server`; the others stay with whoever answers them. */
export async function throughServer(page: Page, server: Answers, paths: RegExp): Promise<void> {
  await page.route(paths, async route => {
    const request = route.request();
    const { pathname, search } = new URL(request.url());
    const answer =
      request.method() === 'POST'
        ? await server.post(pathname, request.postDataJSON())
        : await server.get(`${pathname}${search}`);
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
