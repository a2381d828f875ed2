import type { Page } from 'playwright-core';

export interface PageLoad {
  /** ms from each animation frame to the next, ascending. */
  readonly frames: readonly number[];
  /** Share of one core that the page's main thread took. */
  readonly mainThread: number;
}

/** Watches a page for `ms`: its own animation frames, and the processor time of its main thread by Chromium's count. */
export async function pageLoad(page: Page, ms: number): Promise<PageLoad> {
  const devtools = await page.context().newCDPSession(page);
  // Time on the processor, not on the wall: what others take on a busy machine is not the page's.
  await devtools.send('Performance.enable', { timeDomain: 'threadTicks' });
  const busy = async (): Promise<number> => {
    const { metrics } = await devtools.send('Performance.getMetrics');
    return metrics.find(({ name }) => name === 'TaskDuration')?.value ?? Number.NaN;
  };
  const before = await busy();
  const started = performance.now();
  const moments = await page.evaluate(
    length =>
      new Promise<number[]>(resolve => {
        const at: number[] = [];
        const end = performance.now() + length;
        const frame = (now: number): void => {
          at.push(now);
          if (performance.now() < end) requestAnimationFrame(frame);
          else resolve(at);
        };
        requestAnimationFrame(frame);
      }),
    ms,
  );
  const seconds = (performance.now() - started) / 1000;
  const mainThread = ((await busy()) - before) / seconds;
  const frames = moments.slice(1).map((at, i) => at - moments[i]!);
  return { frames: frames.sort((a, b) => a - b), mainThread };
}
