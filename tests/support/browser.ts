import { type Browser, chromium, type LaunchOptions } from 'playwright-core';
import { isMissing } from './programs.ts';

/** Skips browser tests where Chromium is not installed (with CI=true that is a failure). */
export const noChromium = (): boolean => isMissing('chromium', 'apt-get install chromium');

/** Debian's Chromium, kept off the network; in English and UTC wherever it runs, until a test says otherwise. */
export const launchChromium = (options: LaunchOptions = {}): Promise<Browser> =>
  chromium.launch({
    ...options,
    executablePath: '/usr/bin/chromium',
    env: { ...process.env, TZ: 'UTC' },
    args: [
      '--lang=en-US',
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
