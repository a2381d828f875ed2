import type { Browser, BrowserContext, BrowserContextOptions } from 'playwright-core';
import { onTestFinished } from 'vitest';
import { launchChromium } from './browser.ts';

let browser: Browser | null = null;

/**
 * The Chromium of this worker, started once for all its test files. Each test has contexts of its own, which share
 * nothing, and closes them. A browser that has died is started anew.
 */
export async function sharedChromium(): Promise<Browser> {
  if (!browser?.isConnected()) {
    browser = await launchChromium({ handleSIGTERM: false });
    // A worker is ended by a signal: only where it exits in order the browser and its profile are taken away.
    process.once('SIGTERM', () => process.exit());
  }
  return browser;
}

/** A browser's profile for the running test, closed with it. */
export async function ownContext(options: BrowserContextOptions = {}): Promise<BrowserContext> {
  const context = await (await sharedChromium()).newContext(options);
  onTestFinished(() => context.close());
  return context;
}
