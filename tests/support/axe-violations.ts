import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly html: string }[];
  }[];
}

/** WCAG 2.2 AA by axe-core; its rules run in the page, from outside the page's policy. */
export async function axeViolations(page: Page): Promise<string[]> {
  await page.evaluate(await readFile(AXE, 'utf8'));
  const result = await page.evaluate<AxeResult>(`axe.run(document, {
    runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] })`);
  return result.violations.map(({ id, nodes }) => `${id}: ${nodes.map(node => node.html).join(' | ')}`);
}
