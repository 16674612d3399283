import { expect, type Page, test } from '@playwright/test';
import { expectNoSeriousFault } from './axe';
import { expectFits } from './fits';
import { readSentence, rowsOf } from './sheets';

const demo = '/#/trial/demo-chard-leaf-spot';

/** All figures of the answer on show are there. */
const settled = async (page: Page): Promise<void> => {
  await expect(page.locator('.verdict-grid')).toHaveAttribute('aria-busy', 'false');
};

test('the verdict follows a look back, says so, and can be taken back', async ({ page }) => {
  await page.goto(demo);
  const now = await readSentence(page);
  const look = page.getByLabel('Rounds taken in');
  await expect(look).toHaveValue('');
  const ids = await look
    .locator('option')
    .evaluateAll((options) => options.map((option) => (option as HTMLOptionElement).value));
  expect(ids).toHaveLength(6);
  // The round before the last, then the first.
  for (const id of [ids[1] ?? '', ids.at(-1) ?? '']) {
    await look.selectOption(id);
    await expect(page).toHaveURL(new RegExp(`look=${id}`));
    await expect(page.getByTestId('asked-look')).toContainText('Later rounds are left out.');
    await settled(page);
  }
  expect(await page.getByTestId('sentence').innerText()).not.toBe(now);
  await page.reload();
  await readSentence(page);
  await expect(page.getByTestId('asked-look')).toContainText('round 1');
  await settled(page);
  await expectNoSeriousFault(page, 'look back');
  await expectFits(page, 'look back');
  await page.getByRole('button', { name: 'Take all rounds' }).click();
  await expect(page.getByTestId('sentence')).toHaveText(now);
  await expect(page.getByTestId('asked-look')).toHaveCount(0);
});

test('another method can be taken by hand; the page says what the rule would take', async ({
  page,
}) => {
  await page.goto(`${demo}?outcome=incidence-last`);
  await readSentence(page);
  const method = page.getByLabel('Weighed by');
  await expect(method.locator('option:checked')).toContainText('(by the rule)');
  const ruled = await method.inputValue();
  const ids = await method
    .locator('option')
    .evaluateAll((options) => options.map((option) => (option as HTMLOptionElement).value));
  const other = ids.find((id) => id !== ruled) ?? '';
  expect(other).not.toBe('');
  await method.selectOption(other);
  await expect(page).toHaveURL(new RegExp(`method=${other}`));
  await expect(page.getByTestId('asked-method')).toContainText(
    'Chosen by hand. By the rule it would be',
  );
  await settled(page);
  // The same method decides in the table of all methods.
  const table = page.getByRole('region', { name: /by each way of weighing/ });
  await expect(table.getByText('(decides)')).toHaveCount(1);
  await expectNoSeriousFault(page, 'another method');
  await expectFits(page, 'another method');
  await page.getByRole('button', { name: 'Go by the rule' }).click();
  await expect(page.getByTestId('asked-method')).toHaveCount(0);
  await expect(method).toHaveValue(ruled);
});

test('what the model leaves over is drawn when it is opened, and lights with the bed', async ({
  page,
}) => {
  await page.goto(demo);
  await readSentence(page);
  await page.getByText('What the model leaves over').click();
  const dots = page.getByTestId('residuals').getByRole('button');
  await expect(dots.first()).toBeVisible();
  const rows = await rowsOf(page, /what the model expects and leaves over/);
  expect(rows).toHaveLength(await dots.count());
  const dot = dots.nth(3);
  await dot.focus();
  await dot.press('Enter');
  await expect(page.getByTestId('bed-map').locator('[role=button][aria-pressed=true]')).toHaveCount(
    1,
  );
  await expectNoSeriousFault(page, 'residuals');
  await expectFits(page, 'residuals');
});

test('the chances of a ranking are drawn and stand in a table', async ({ page }) => {
  await page.goto(demo);
  await readSentence(page);
  await expect(page.getByTestId('ranking').locator('svg')).toBeVisible();
  const rows = await rowsOf(page, /Chances of each treatment/);
  expect(rows.map(([name]) => name)).toHaveLength(5);
  // The control is not compared with itself.
  expect(rows.find(([name]) => name === 'Untreated')?.slice(2)).toEqual(['–', '–']);
});

test('the verdict follows another choice before its pictures do', async ({ page }) => {
  await page.goto(demo);
  const now = await readSentence(page);
  await settled(page);
  await page.getByLabel('Judged by').selectOption('healthy-leaf-days');
  await expect(page.getByTestId('sentence')).not.toHaveText(now);
  await expect(page.getByTestId('announcer')).toContainText('healthy leaf');
  await settled(page);
  await expect(page.getByTestId('plot-values').locator('svg')).toContainText(
    'Healthy leaves standing',
  );
});
