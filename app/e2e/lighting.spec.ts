import { expect, type Page, test } from '@playwright/test';
import { readSentence } from './sheets';

test.beforeEach(async ({ page }) => {
  await page.goto('/#/trial/demo-chard-leaf-spot');
  await readSentence(page);
});

const litIn = (page: Page, part: string) =>
  page.getByTestId(part).locator('[role=button][aria-pressed=true]');

test('a treatment picked in a table lights in every chart and in the bed', async ({ page }) => {
  const table = page.getByRole('region', { name: /by treatment/ });
  const row = table.getByRole('row').filter({ hasText: 'Potassium bicarbonate' });
  await row.getByRole('button').click();
  await expect(row).toHaveAttribute('data-lit', 'true');
  await expect(page.getByTestId('lit')).toHaveText('Potassium bicarbonate');
  for (const part of ['effects', 'plot-values', 'progress', 'balance', 'bed-map']) {
    await expect(litIn(page, part).first()).toBeAttached();
  }
  // Four plots of the treatment in four blocks.
  await expect(litIn(page, 'bed-map')).toHaveCount(4);
  await row.getByRole('button').click();
  await expect(litIn(page, 'bed-map')).toHaveCount(0);
});

test('a plot picked in the bed lights its mark, its line and its row', async ({ page }) => {
  const plot = page.getByTestId('bed-map').getByRole('button').nth(2);
  await plot.focus();
  await plot.press('Enter');
  await expect(litIn(page, 'bed-map')).toHaveCount(1);
  await expect(litIn(page, 'plot-values').first()).toBeAttached();
  await page.getByText('The value of every plot').click();
  const rows = page.getByRole('region', { name: /every plot/ }).locator('tr[data-lit]');
  await expect(rows).toHaveCount(1);
  const name = await rows.getByRole('button').innerText();
  await expect(page.getByTestId('lit')).toContainText(`Plot ${name}`);
  await page.getByRole('button', { name: 'Put the light out' }).click();
  await expect(rows).toHaveCount(0);
});

test('the bed is within reach of every chart', async ({ page }, info) => {
  if (info.project.name === 'phone') {
    await page.getByRole('button', { name: 'Charts' }).click();
    await page.getByRole('button', { name: 'Bed', exact: true }).click();
  } else {
    await page.getByTestId('balance').scrollIntoViewIfNeeded();
  }
  await expect(page.getByTestId('bed-map').locator('svg')).toBeInViewport();
});
