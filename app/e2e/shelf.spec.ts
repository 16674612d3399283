import { expect, test } from '@playwright/test';
import { expectNoSeriousFault } from './axe';
import { expectFits } from './fits';
import { answer, chooseSheet, readSentence } from './sheets';

const grapes = 'data/open/grape-downy-mildew.csv';

test.beforeEach(async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, grapes);
  await answer(page, /untreated control/, 'T1');
  await page.getByRole('button', { name: 'Go on to the verdict' }).click();
  await readSentence(page);
});

test('a removed trial comes back by undo, and later from the removed ones', async ({ page }) => {
  await page.goto('/');
  const trials = page.getByRole('list', { name: 'Your trials' });
  const removing = page.getByRole('button', { name: 'Remove grape downy mildew' });
  await removing.click();
  await expect(trials).toHaveCount(0);
  await page.getByRole('button', { name: 'Put it back' }).click();
  await expect(trials.getByRole('listitem')).toHaveCount(1);
  await removing.click();
  await expect(trials).toHaveCount(0);
  await page.reload();
  await page.getByText('Removed trials (1)').click();
  await expectNoSeriousFault(page, 'removed');
  await expectFits(page, 'removed');
  await page.getByRole('button', { name: 'Put back grape downy mildew' }).click();
  await expect(trials.getByRole('listitem')).toHaveCount(1);
  await page.reload();
  await expect(trials.getByRole('listitem')).toHaveCount(1);
});

test('erasing for good takes the trial off the device', async ({ page }) => {
  const address = page.url();
  await page.goto('/');
  await page.getByRole('button', { name: 'Remove grape downy mildew' }).click();
  await page.getByText('Removed trials (1)').click();
  await page.getByRole('button', { name: 'Erase for good: grape downy mildew' }).click();
  await expect(page.getByText('Removed trials')).toHaveCount(0);
  await page.goto(address);
  await page.reload();
  await expect(page.getByText('No trial with this address')).toBeVisible();
});

test('two tabs show the same shelf without a reload', async ({ page, context }) => {
  const other = await context.newPage();
  await other.goto('/');
  const trials = other.getByRole('list', { name: 'Your trials' });
  await expect(trials.getByRole('listitem')).toHaveCount(1);
  await page.goto('/');
  await page.getByRole('button', { name: 'Remove grape downy mildew' }).click();
  await expect(trials).toHaveCount(0);
  await page.getByRole('button', { name: 'Put it back' }).click();
  await expect(trials.getByRole('listitem')).toHaveCount(1);
});

test('a second sheet of the same name is a second trial', async ({ page }) => {
  await page.goto('/');
  await chooseSheet(page, grapes);
  await page.getByRole('button', { name: 'Go on to the verdict' }).click();
  await readSentence(page);
  await page.goto('/');
  await expect(page.getByRole('link', { name: 'grape downy mildew (2)' })).toBeVisible();
  await expect(page.getByRole('link', { name: 'grape downy mildew', exact: true })).toBeVisible();
});

test('a trial taken along as a data package comes back whole', async ({ page }) => {
  const sentence = await readSentence(page);
  const packing = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Download the data package (zip)' }).click();
  const path = await (await packing).path();
  await page.goto('/');
  await page.locator('input[type=file]').first().setInputFiles(path);
  await expect(page).toHaveURL(/#\/trial\//);
  expect(await readSentence(page)).toBe(sentence);
});
