/** The page in front of the server's own routes, over a joint with a flagged pass and another beside it. */
import type { Page } from 'playwright-core';
import { flaggedFill, plainRoot, reviewDashboard } from './reviewed-joint.ts';
import { goTo, throughServer } from './through-server.ts';
import type { OpenOptions, WebPage } from './web-page.ts';

export const FLAGGED = 'J-0042';
export const BESIDE = 'J-0043';

export interface ReviewPage {
  readonly page: Page;
  readonly server: Awaited<ReturnType<typeof reviewDashboard>>;
}

/** Root and flagged fill of side B and a root of side A; the same fill without a flaw on another joint. */
export async function reviewServer(): Promise<ReviewPage['server']> {
  const server = await reviewDashboard();
  await server.weld(plainRoot(FLAGGED));
  await server.weld({ ...plainRoot(FLAGGED), side: 'A', arcS: 50 });
  // One reading of 290 A among 236: what a mean would lose.
  await server.weld({
    ...flaggedFill(FLAGGED),
    amps: s => (s >= 20 && s < 30 ? 280 : Math.abs(s - 50) < 0.01 ? 290 : 236),
  });
  await server.weld({ ...flaggedFill(BESIDE), amps: () => 236 });
  return server;
}

const OF_SERVER =
  /\/api\/v1\/(joints|joint-list|rigs\/[^/]+\/[^/]+\/samples|over-joints|entries|indication-table|people|passes|procedures|procedure-states|unassigned-passes|readiness)\b/;

export async function openReview(
  open: WebPage['open'],
  hash: string,
  options: OpenOptions = {},
  prepare: (server: ReviewPage['server']) => Promise<unknown> = async () => undefined,
): Promise<ReviewPage> {
  const server = await reviewServer();
  await prepare(server);
  const page = await open([], { ...options, hash: '#/about' });
  await throughServer(page, server, OF_SERVER);
  await goTo(page, hash);
  return { page, server };
}
