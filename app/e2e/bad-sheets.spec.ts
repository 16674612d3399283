import { expect, type Page, test } from '@playwright/test';
import { expectNoSeriousFault } from './axe';
import { expectFits } from './fits';
import { answer, chooseSheet, readSentence } from './sheets';

const folder = 'packages/files/oracle/bad';

type Fault = { readonly row: number; readonly column?: string; readonly what: RegExp };

/** Every fault stands in the list with its row, its column, and something to do about it. */
async function expectFaults(page: Page, faults: readonly Fault[]): Promise<void> {
  const list = page.getByRole('region', { name: 'Set aside, and why' });
  for (const { row, column, what } of faults) {
    const line = list
      .getByRole('row')
      .filter({ hasText: what })
      .filter({
        has: page.getByRole('cell', { name: String(row), exact: true }),
      });
    await expect(line).toHaveCount(1);
    if (column !== undefined) {
      await expect(line.getByRole('cell', { name: column, exact: true })).toHaveCount(1);
    }
    await expect(line.getByRole('cell').last()).toHaveText(/\.$/);
  }
}

async function goOnWithTheRest(page: Page, control: string): Promise<void> {
  await answer(page, /untreated control/, control);
  await page.getByRole('button', { name: 'Go on with the rest' }).click();
  await readSentence(page);
}

test('counts that can not be', async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, `${folder}/1-impossible-counts.csv`);
  await expect(page.getByTestId('row-count')).toHaveText('48 rows read, 46 used, 2 set aside.');
  await expectFaults(page, [
    { row: 14, what: /19 leaves are diseased, but the plant has only 14/ },
    { row: 30, column: 'leaves', what: /below zero/ },
  ]);
  await expectNoSeriousFault(page, 'faults');
  await expectFits(page, 'faults');
  const saving = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Download the list (CSV)' }).first().click();
  expect((await saving).suggestedFilename()).toBe('1-impossible-counts-problems.csv');
  await goOnWithTheRest(page, 'untreated');
});

test('a plot scored twice and a treatment spelt two ways', async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, `${folder}/2-twice-and-misspelt.csv`);
  await expect(page.getByTestId('row-count')).toHaveText('33 rows read, 29 used, 4 set aside.');
  await expectFaults(page, [
    { row: 10, what: /see row 12/ },
    { row: 12, what: /see row 10/ },
  ]);
  await answer(page, /"Magermlich" a treatment of its own/, 'No, it is Magermilch');
  await expect(page.getByTestId('row-count')).toHaveText('33 rows read, 31 used, 2 set aside.');
  await goOnWithTheRest(page, 'Kontrolle');
});

test('a word among figures, and dates that could be either', async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, `${folder}/3-words-and-open-dates.csv`);
  await expect(page.getByTestId('row-count')).toHaveText('27 rows read, 0 used, 27 set aside.');
  await expectFaults(page, [{ row: 10, column: 'severity', what: /the cell says "lots"/ }]);
  await answer(page, /Which comes first in the dates/, 'The day');
  await expect(page.getByTestId('row-count')).toHaveText('27 rows read, 26 used, 1 set aside.');
  await goOnWithTheRest(page, 'none');
});

test('a percentage over 100 and a row of means', async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, `${folder}/4-wide-over-100-and-mean-row.tsv`);
  await expect(page.getByTestId('row-count')).toHaveText(
    '10 rows read, 9 used, 1 set aside, and 1 single cell of used rows set aside.',
  );
  await expectFaults(page, [
    { row: 6, column: 'severity week 3', what: /over 100; the cell says "420"/ },
    { row: 11, column: 'treatment', what: /looks like a total or a mean/ },
  ]);
  await goOnWithTheRest(page, 'untreated');
});

test('a formula without a value and a plot with two treatments', async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, `${folder}/5-formula-and-swapped-plot.xlsx`);
  await expect(page.getByTestId('row-count')).toHaveText('24 rows read, 21 used, 3 set aside.');
  await expectFaults(page, [
    { row: 8, what: /Plot "6" has treatment "wide rows" here/ },
    { row: 9, column: 'diseased', what: /formula without a saved value/ },
    { row: 20, what: /Plot "6" has treatment "water only" here/ },
  ]);
  await goOnWithTheRest(page, 'water only');
});

test('a file that is no table is refused without harm', async ({ page }) => {
  await page.goto('/');
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({
      name: 'season.pdf',
      mimeType: 'application/pdf',
      buffer: Buffer.from('%PDF-1.7 not a table'),
    });
  await expect(page.getByRole('alert')).toContainText('season.pdf could not be read');
  await expect(page.getByRole('alert')).toContainText('Save the table itself as CSV or XLSX.');
  await expect(page.getByRole('button', { name: 'Choose another file' })).toBeVisible();
  await expectNoSeriousFault(page, 'refused');
  await expectFits(page, 'refused');
});
