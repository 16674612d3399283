import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { expect, type Page } from '@playwright/test';
import type { AxeResults } from 'axe-core';

const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Fails on any serious or critical fault of accessibility on the page as it stands. */
export async function expectNoSeriousFault(page: Page, where: string): Promise<void> {
  await page.evaluate(source);
  const results = await page.evaluate<AxeResults>('axe.run(document)');
  const serious = results.violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(' | ')}`);
  expect(serious, `${where}: serious or critical faults`).toEqual([]);
  // An empty list proves nothing unless rules ran.
  expect(results.passes.length, `${where}: rules that passed`).toBeGreaterThan(10);
}
