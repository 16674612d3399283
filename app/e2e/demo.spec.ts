import { expect, test } from '@playwright/test';
import { expectNoSeriousFault } from './axe';
import { expectFits } from './fits';
import { readSentence } from './sheets';

const demo = 'Chard leaf spot';

for (const colorScheme of ['light', 'dark'] as const) {
  test.describe(colorScheme, () => {
    test.use({ colorScheme });

    test('the shelf and the demo have no serious fault of accessibility', async ({ page }) => {
      await page.goto('/');
      await expect(page.getByRole('link', { name: new RegExp(demo) })).toBeVisible();
      await expectNoSeriousFault(page, 'shelf');
      await expectFits(page, 'shelf');
      await page.getByRole('link', { name: new RegExp(demo) }).click();
      await readSentence(page);
      await page.getByText('Layouts, seeds and methods').click();
      await page.getByText('The value of every plot').click();
      await expectNoSeriousFault(page, 'verdict');
      await expectFits(page, 'verdict');
    });
  });
}

test('the demo goes from the shelf to its verdict and back', async ({ page }) => {
  await page.goto('/');
  const card = page.getByRole('listitem').filter({ hasText: demo });
  await expect(card.getByText('Invented', { exact: true })).toBeVisible();
  await card.getByRole('link').click();
  await expect(page).toHaveURL(/#\/trial\/demo-chard-leaf-spot$/);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Which treatment worked?');
  await expect(page.getByRole('heading', { level: 1 })).toBeFocused();
  const sentence = await readSentence(page);
  expect(sentence.length).toBeGreaterThan(20);
  await expect(page.getByTestId('cautions')).toBeVisible();
  for (const chart of ['effects', 'plot-values', 'progress', 'balance', 'bed-map']) {
    await expect(page.getByTestId(chart).locator('svg')).toBeVisible();
  }
  // The mark stays in sight to the foot of the page.
  await page.getByText('Layouts, seeds and methods').scrollIntoViewIfNeeded();
  await expect(page.locator('.invented-strip')).toBeInViewport();
  await page.goBack();
  await expect(card).toContainText(sentence);
});

test('the unreplicated companion gets a tipping point and no p-value', async ({ page }) => {
  await page.goto('/#/trial/demo-leek-rust-one-plot-each');
  await readSentence(page);
  await expect(page.getByText('How unlike would two like plots have to be?')).toBeVisible();
  await expect(page.getByText('p, Dunnett')).toHaveCount(0);
});

test('an address that names no trial says so', async ({ page }) => {
  await page.goto('/#/trial/nothing-here');
  await expect(page.getByText('No trial with this address')).toBeVisible();
  await page.goto('/#/nowhere');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Where did that page go?');
});

test('another outcome and another smallest difference redo the answer and stay in the address', async ({
  page,
}) => {
  await page.goto('/#/trial/demo-chard-leaf-spot');
  await readSentence(page);
  const outcome = page.getByLabel('Judged by');
  // The sentence stands before the choices do.
  await expect(outcome).toBeVisible();
  const ids = await outcome
    .locator('option')
    .evaluateAll((options) => options.map((option) => (option as HTMLOptionElement).value));
  const first = await outcome.inputValue();
  const other = ids.find((id) => id !== first) ?? '';
  expect(other).not.toBe('');
  await outcome.selectOption(other);
  await expect(page).toHaveURL(new RegExp(`outcome=${other}`));
  await expect(outcome).toHaveValue(other);
  await page.getByLabel('Smallest difference worth having, percent').fill('80');
  await expect(page).toHaveURL(/worth=80/);
  await page.reload();
  await readSentence(page);
  await expect(outcome).toHaveValue(other);
  await expect(page.getByLabel('Smallest difference worth having, percent')).toHaveValue('80');
});

test('the data package and the verdict can be taken along', async ({ page }) => {
  await page.goto('/#/trial/demo-chard-leaf-spot');
  await readSentence(page);
  const packing = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Download the data package (zip)' }).click();
  expect((await packing).suggestedFilename()).toMatch(/^chard-leaf-spot.*\.zip$/);
  const saving = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Download the verdict (JSON)' }).click();
  expect((await saving).suggestedFilename()).toMatch(/-verdict\.json$/);
});
