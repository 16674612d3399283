import { expect, type Page, test } from '@playwright/test';
import { expectNoSeriousFault } from './axe';
import { expectFits } from './fits';
import { answer, chooseSheet, readSentence, rowsOf } from './sheets';

const grapes = 'data/open/grape-downy-mildew.csv';
const unsaid = 'Nobody said whether the places were drawn at random';

const grade = (page: Page) => page.locator('.evidence');
const cautions = (page: Page) => page.getByTestId('cautions');

test('what no sheet says is asked, kept, and changes the verdict', async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, grapes);
  await answer(page, /untreated control/, 'T1');
  await page.getByRole('button', { name: 'Go on to the verdict' }).click();
  await readSentence(page);
  await expect(grade(page)).toContainText('fair');
  await expect(cautions(page)).toContainText(unsaid);
  const places = page.getByLabel('How did each treatment get its place?');
  const scorer = page.getByLabel('Did the scorer know the treatments?');
  await expect(places.locator('option:checked')).toHaveText('Not said');
  await expect(scorer.locator('option:checked')).toHaveText('Not said');

  // Rule V8 of docs/evidence.md: places that were chosen hold any finding down to a hint.
  await places.selectOption('It was chosen');
  await expect(grade(page)).toContainText('a hint');
  await expect(cautions(page)).toContainText('The places were chosen, not drawn');
  await places.selectOption('By lot');
  await expect(grade(page)).toContainText('fair');
  await expect(cautions(page)).not.toContainText(unsaid);
  await scorer.selectOption('No, scored blind');
  await expect(cautions(page)).not.toContainText('The scorer may have known');

  await page.reload();
  const sentence = await readSentence(page);
  await expect(places.locator('option:checked')).toHaveText('By lot');
  await expect(scorer.locator('option:checked')).toHaveText('No, scored blind');
  await page.goto('/');
  await expect(page.getByRole('listitem').filter({ hasText: 'grape downy mildew' })).toContainText(
    sentence,
  );
});

test('an example says it for this visit only', async ({ page }) => {
  await page.goto('/#/trial/demo-chard-leaf-spot');
  await readSentence(page);
  const places = page.getByLabel('How did each treatment get its place?');
  await expect(places.locator('option:checked')).toHaveText('By lot');
  await places.selectOption('It was chosen');
  await expect(cautions(page)).toContainText('The places were chosen, not drawn');
  await expect(page.getByText('lasts until the page is closed')).toBeVisible();
  await page.reload();
  await readSentence(page);
  await expect(places.locator('option:checked')).toHaveText('By lot');
});

test('where there is no control, what is compared with what is said and can be changed', async ({
  page,
}) => {
  await page.goto('/');
  await chooseSheet(page, grapes);
  await answer(page, /untreated control/, 'There is none');
  await page.getByRole('button', { name: 'Go on to the verdict' }).click();
  await readSentence(page);
  const said = page.getByTestId('no-control');
  await expect(said).toContainText('Compared with T1, because no control was named.');
  await expect(page.getByRole('heading', { name: 'How far from T1?' })).toBeVisible();
  await expect(page.getByText('the control', { exact: true })).toHaveCount(0);
  await expectNoSeriousFault(page, 'no control');
  await expectFits(page, 'no control');
  await said.getByRole('button', { name: 'Choose another' }).click();
  const against = page.getByLabel('Compared with');
  await expect(against).toBeFocused();
  await against.selectOption('T2');
  await expect(page.getByRole('heading', { name: 'How far from T2?' })).toBeVisible();
  await expect(said).toHaveCount(0);
  const rows = await rowsOf(page, /by treatment/);
  // R's difference of the plot means: 66.3733 - 7.5213.
  expect(rows.find(([name]) => name === 'T1')?.[3]).toMatch(/^\+?58\.85 /);
  expect(rows.find(([name]) => name === 'T2')?.[3]).toBe('compared with this');
});

test('a year and a day 0 that the sheet lacks can be written in', async ({ page }) => {
  const sheet = async (name: string, days: readonly string[]): Promise<void> => {
    const rows = days.flatMap((day, week) =>
      ['A', 'B', 'A', 'B'].map((treatment, i) => `${i + 1},${treatment},${day},${week + i},20`),
    );
    await page.goto('/');
    await page
      .locator('input[type=file]')
      .first()
      .setInputFiles({
        name,
        mimeType: 'text/csv',
        buffer: Buffer.from(`plot,treatment,date,diseased,leaves\n${rows.join('\n')}\n`),
      });
    await expect(page.getByTestId('row-count')).toBeVisible();
  };
  await sheet('no-year.csv', ['4 May', '11 May']);
  await expect(page.getByTestId('row-count')).toHaveText('8 rows read, 0 used, 8 set aside.');
  await page.getByLabel('In which year was the trial?').fill('2026');
  await expect(page.getByTestId('row-count')).toHaveText('8 rows read, 8 used, 0 set aside.');
  await expectFits(page, 'year');
  await answer(page, /untreated control/, 'A');
  await page.getByRole('button', { name: 'Go on to the verdict' }).click();
  await readSentence(page);
  await expect(page.getByTestId('progress').getByText('2026')).toBeVisible();

  await sheet('days.csv', ['0', '7']);
  await answer(page, /untreated control/, 'A');
  // Wanted only for dates; the sheet can be judged without.
  await expect(page.getByText('You can go on without it.')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Go on to the verdict' })).toHaveAttribute(
    'aria-disabled',
    'false',
  );
  await page.getByLabel('On which date did day 0 fall?').fill('2026-05-04');
  await page.getByRole('button', { name: 'Go on to the verdict' }).click();
  await readSentence(page);
  await expect(page.getByTestId('progress').getByText('2026')).toBeVisible();
});
