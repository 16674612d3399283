import { expect, test } from '@playwright/test';
import { expectNoSeriousFault } from './axe';
import { expectFits } from './fits';
import { answer, chooseSheet, readSentence } from './sheets';

const grapes = 'data/open/grape-downy-mildew.csv';
const mungbean = 'data/open/mungbean-fungicide-timing.csv';

test('counts of a real sheet go from the file to the verdict', async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, grapes);
  await expect(page.getByTestId('row-count')).toHaveText('270 rows read, 270 used, 0 set aside.');
  await expect(page.getByText('They make 18 plots and 1 round.')).toBeVisible();
  // Nothing is taken for the control until the grower says so.
  const go = page.getByRole('button', { name: 'Go on to the verdict' });
  await expect(go).toHaveAttribute('aria-disabled', 'true');
  await expect(page.getByText('One question is still open.')).toBeVisible();
  await answer(page, /untreated control/, 'T1');
  await page.getByLabel('Title').fill('Downy mildew of grape');
  await go.click();
  await expect(page).toHaveURL(/#\/trial\/[0-9a-f-]{36}$/);
  const sentence = await readSentence(page);
  await expect(page.getByText('Your trials / Downy mildew of grape')).toBeVisible();
  await expect(page.locator('.invented-strip')).toHaveCount(0);
  await page.goto('/');
  const card = page.getByRole('listitem').filter({ hasText: 'Downy mildew of grape' });
  await expect(card).toContainText(sentence);
  await expect(card).toContainText('6 treatments, 18 plots, 1 round');
});

test('what the columns mean is remembered for the next sheet with the same headings', async ({
  page,
}) => {
  await page.goto('/');
  await chooseSheet(page, grapes);
  await answer(page, /untreated control/, 'T1');
  await page.getByRole('button', { name: 'Go on to the verdict' }).click();
  await readSentence(page);
  await page.goto('/');
  await chooseSheet(page, grapes);
  await expect(page.getByText('Read as you read the last sheet')).toBeVisible();
  await expect(page.getByRole('radio', { name: 'T1' })).toBeChecked();
  await page.getByRole('button', { name: 'Start afresh' }).click();
  await expect(page.getByRole('radio', { name: 'T1' })).not.toBeChecked();
});

test('grades in one column a date are asked about, not assumed', async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, mungbean);
  await expect(page.getByTestId('row-count')).toContainText('30 rows read');
  const healthy = page.getByRole('radiogroup', { name: 'Which grade is a healthy plant?' });
  await expect(healthy.getByRole('radio', { checked: true })).toHaveCount(0);
  await answer(page, /What was scored/, 'Grade');
  await answer(page, /does the scale run/, '1 to 9');
  await answer(page, /healthy plant/, '1, the lowest grade');
  if ((await page.getByRole('radiogroup', { name: /lower or a higher/ }).count()) > 0) {
    await answer(page, /lower or a higher/, 'Higher is better');
  }
  await answer(page, /untreated control/, 'control');
  await expect(page.getByTestId('row-count')).toHaveText('30 rows read, 30 used, 0 set aside.');
  await page.getByRole('button', { name: /^Go on/ }).click();
  await readSentence(page);
  await expect(page.getByTestId('progress').locator('svg')).toBeVisible();
});

for (const colorScheme of ['light', 'dark'] as const) {
  test.describe(colorScheme, () => {
    test.use({ colorScheme });
    test('the mapping step has no serious fault of accessibility', async ({ page }) => {
      await page.goto('/');
      await chooseSheet(page, mungbean);
      await expectNoSeriousFault(page, 'sheet');
      await expectFits(page, 'sheet');
    });
  });
}

test('a sheet can be dropped anywhere on the page', async ({ page }) => {
  await page.goto('/');
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
  const data = await page.evaluateHandle(() => {
    const transfer = new DataTransfer();
    const text = 'plot,treatment,diseased,leaves\n1,A,1,10\n2,B,2,10\n3,A,0,9\n4,B,5,11\n';
    transfer.items.add(new File([text], 'beans.csv', { type: 'text/csv' }));
    return transfer;
  });
  await page.dispatchEvent('footer', 'dragover', { dataTransfer: data });
  await expect(page.getByText('Let go to read this file')).toBeVisible();
  await page.dispatchEvent('footer', 'drop', { dataTransfer: data });
  await expect(page.getByTestId('row-count')).toHaveText('4 rows read, 4 used, 0 set aside.');
});

// A phone has no keyboard.
test('from sheet to verdict by keyboard alone', { tag: '@laptop' }, async ({ page }) => {
  await page.goto('/');
  await expect(page.getByRole('button', { name: 'Choose a spreadsheet' })).toBeVisible();
  const tabTo = async (name: RegExp): Promise<void> => {
    for (let presses = 0; presses < 60; presses++) {
      await page.keyboard.press('Tab');
      const focused = await page.evaluate(() => {
        const element = document.activeElement;
        const label = element?.getAttribute('aria-label') ?? element?.textContent ?? '';
        const radio = element?.closest('label')?.textContent ?? '';
        return `${label}${radio}`;
      });
      if (name.test(focused)) return;
    }
    throw new Error(`The Tab key never reached ${name.source}`);
  };
  const choosing = page.waitForEvent('filechooser');
  await tabTo(/^Choose a spreadsheet/);
  await page.keyboard.press('Enter');
  await (await choosing).setFiles(grapes);
  await expect(page.getByTestId('row-count')).toContainText('270 used');
  await expect(page.getByRole('heading', { level: 1 })).toBeFocused();
  await tabTo(/^What column diseased holds/);
  await expect(page.getByLabel('What column diseased holds')).toHaveValue('diseased');
  await tabTo(/T1/);
  await page.keyboard.press('Space');
  await expect(page.getByRole('radio', { name: 'T1' })).toBeChecked();
  await tabTo(/^Go on to the verdict/);
  await page.keyboard.press('Enter');
  await readSentence(page);
  await expect(page.getByRole('heading', { level: 1 })).toBeFocused();
  await tabTo(/^T2/);
  await page.keyboard.press('Enter');
  await expect(page.getByTestId('lit')).toContainText('T2');
  await page.keyboard.press('Escape');
  await expect(page.getByTestId('lit')).toHaveCount(0);
});
