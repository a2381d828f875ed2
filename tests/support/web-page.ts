import type { Browser, BrowserContext, Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect } from 'vitest';
import { builtPage } from './built-page.ts';
import type { RigFixture } from './dashboard-fixtures.ts';
import { type FakeDashboard, startFakeDashboard } from './fake-dashboard.ts';
import { sharedChromium } from './shared-chromium.ts';

export interface OpenOptions {
  readonly width?: number;
  readonly height?: number;
  readonly theme?: 'day' | 'night';
  readonly gloves?: boolean;
  readonly reducedMotion?: boolean;
  /** As set on this device; English, metric and a point where nothing is said. */
  readonly language?: 'en' | 'es';
  readonly units?: 'metric' | 'inch';
  readonly decimal?: 'point' | 'comma';
  /** What the browser prefers and where it is: `es-MX`. */
  readonly locale?: string;
  readonly hash?: string;
  /** Done with the page before it is opened, such as answering its requests from another server. */
  readonly prepare?: (page: Page) => Promise<void>;
}

export interface WebPage {
  readonly fake: () => FakeDashboard;
  readonly open: (rigs: readonly RigFixture[], options?: OpenOptions) => Promise<Page>;
}

/** The built page, served from a stand-in server of the test file, and opened in Chromium. */
export function webPage(): WebPage {
  let fake: FakeDashboard | null = null;
  let browser: Browser | null = null;
  const contexts: BrowserContext[] = [];
  const errors: string[] = [];

  beforeAll(async () => {
    fake = await startFakeDashboard(await builtPage());
    browser = await sharedChromium();
  });

  afterEach(async () => {
    for (const context of contexts.splice(0)) await context.close();
    fake?.restore();
    fake?.silence([]);
    // A script error, or anything the content security policy had to stop, is a failure of the page.
    expect(errors.splice(0)).toEqual([]);
  });

  afterAll(async () => {
    await fake?.stop();
  });

  return {
    fake: () => fake!,
    open: async (rigs, options = {}) => {
      fake!.setRigs(rigs);
      const context = await browser!.newContext({
        viewport: { width: options.width ?? 1280, height: options.height ?? 800 },
        reducedMotion: options.reducedMotion === true ? 'reduce' : 'no-preference',
        ...(options.locale === undefined ? {} : { locale: options.locale }),
        // Routes are stood in for on the way out, which a worker in between would hide.
        serviceWorkers: 'block',
      });
      contexts.push(context);
      const page = await context.newPage();
      page.setDefaultTimeout(60_000);
      page.on('pageerror', error => errors.push(error.message));
      page.on('console', message => {
        // Chromium shows a page either the sentence or only its note.
        if (/Content Security Policy|-src'/i.test(message.text())) errors.push(message.text());
      });
      await page.addInitScript(
        kept => {
          // Set once: what a test changes on the page stays changed.
          for (const [key, value] of Object.entries(kept)) {
            if (localStorage.getItem(`girthlog.${key}`) === null)
              localStorage.setItem(`girthlog.${key}`, value);
          }
        },
        {
          theme: options.theme ?? 'day',
          gloves: options.gloves === true ? 'on' : 'off',
          ...(options.language === undefined ? {} : { language: options.language }),
          ...(options.units === undefined ? {} : { units: options.units }),
          ...(options.decimal === undefined ? {} : { decimal: options.decimal }),
        },
      );
      await options.prepare?.(page);
      await page.goto(`${fake!.url}/${options.hash ?? '#/'}`);
      return page;
    },
  };
}

/** No part of the page is wider than the screen. */
export const hasSidewaysScroll = (page: Page): Promise<boolean> =>
  page.evaluate(() => document.documentElement.scrollWidth > document.documentElement.clientWidth);

/** Opens whatever stands behind one line. */
export const openDetails = (page: Page): Promise<void> =>
  page.locator('details').evaluateAll(all => {
    for (const one of all) (one as HTMLDetailsElement).open = true;
  });

/** What a person can read there: hidden words are left out, which textContent would not do. */
// biome-ignore lint/performance/useDomNodeTextContent: the rendered text is what is tested
export const shownText = (at: Locator): Promise<string> => at.innerText();

/** The same for every match. */
export const shownTexts = async (at: Locator): Promise<string[]> =>
  Promise.all((await at.all()).map(one => shownText(one)));
