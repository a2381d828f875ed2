import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

interface Violation {
  readonly id: string;
  readonly nodes: readonly string[];
}

/** WCAG 2.2 AA by axe-core; its rules run in the page, from outside the page's policy. */
export async function axeViolations(page: Page): Promise<string[]> {
  await page.evaluate(await readFile(AXE, 'utf8'));
  // Every rule runs; of those that hold no list of places is made, nor sent here.
  const found = await page.evaluate<readonly Violation[]>(`axe.run(document, {
    runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    resultTypes: ['violations'],
  }).then(({ violations }) => violations.map(({ id, nodes }) => ({ id, nodes: nodes.map(({ html }) => html) })))`);
  return found.map(({ id, nodes }) => `${id}: ${nodes.join(' | ')}`);
}
