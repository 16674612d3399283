import { expect, test } from '@playwright/test';
import { expectNoSeriousFault } from './axe';
import { expectFits } from './fits';
import { chooseSheet, readSentence } from './sheets';

// The test sets its own width, of a phone.
test('the narrowest phone needs no sideways scrolling', { tag: '@phone' }, async ({ page }) => {
  await page.setViewportSize({ width: 320, height: 640 });
  await page.goto('/');
  await expect(page.getByRole('link', { name: /Chard leaf spot/ })).toBeVisible();
  await expectFits(page, 'shelf at 320');
  await page.getByRole('link', { name: /Chard leaf spot/ }).click();
  await readSentence(page);
  await page.getByText('Layouts, seeds and methods').click();
  await expect(page.getByTestId('balance').locator('svg')).toBeVisible();
  await expectFits(page, 'verdict at 320');
  await page.getByRole('button', { name: 'Bed', exact: true }).click();
  await expectFits(page, 'verdict with the bed at 320');
  await page.goto('/');
  await chooseSheet(page, 'data/open/mungbean-fungicide-timing.csv');
  await expect(page.getByTestId('row-count')).toBeVisible();
  await expectFits(page, 'sheet at 320');
  await expectNoSeriousFault(page, 'sheet at 320');
});

test.describe('on paper', () => {
  test.use({ colorScheme: 'dark', viewport: { width: 794, height: 1123 } });
  // The test sets its own size, that of a sheet of paper.
  test('the verdict is black on white, whole, and without buttons', { tag: '@laptop' }, async ({
    page,
  }) => {
    await page.goto('/#/trial/demo-chard-leaf-spot');
    await readSentence(page);
    await expect(page.getByTestId('bed-map').locator('svg')).toBeVisible();
    await page.emulateMedia({ media: 'print' });
    await expect(page.getByTestId('sentence')).toHaveCSS('color', 'rgb(0, 0, 0)');
    await expect(page.getByRole('button', { name: /Download/ })).toHaveCount(0);
    await expect(page.getByLabel('Judged by')).toBeHidden();
    // What is folded away on the screen is read on paper, and no column runs off the sheet.
    await expect(page.getByRole('region', { name: /every plot/ }).locator('table')).toBeVisible();
    const beyond = await page
      .locator('table')
      .evaluateAll(
        (tables) =>
          tables.filter((table) => table.getBoundingClientRect().right > window.innerWidth).length,
      );
    expect(beyond).toBe(0);
    await expectNoSeriousFault(page, 'print');
  });
});
