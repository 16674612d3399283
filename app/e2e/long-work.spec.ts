import { expect, test } from '@playwright/test';
import { readSentence } from './sheets';

test.describe('work that takes long', () => {
  // The worker's script is asked of the server itself, so that it can be held back.
  test.use({ serviceWorkers: 'block' });

  test('says what it is doing, can be stopped, and can be begun again', async ({ page }) => {
    let held = true;
    await page.route(/\/worker-[^/]*\.js$/, async (route) => {
      if (!held) await route.continue();
    });
    await page.goto('/#/trial/demo-chard-leaf-spot');
    await expect(page.getByTestId('work')).toBeVisible();
    await expect(page.getByRole('progressbar')).toHaveCount(1);
    await expect(page.getByTestId('announcer')).toHaveText(/Opening|Checking|Judging/);
    await page.getByRole('button', { name: 'Stop' }).click();
    await expect(page.getByTestId('work')).toHaveCount(0);
    held = false;
    await page.getByRole('button', { name: 'Open the trial' }).click();
    await readSentence(page);
  });
});

test('a hundred thousand rows are read while the page stays alive', async ({ page }) => {
  const rows = Array.from({ length: 100_000 }, (_, i) => {
    const plot = i % 20;
    const week = Math.floor(i / 20) % 5;
    const plant = Math.floor(i / 100);
    return `P${plot},T${plot % 4},B${Math.floor(plot / 4)},${plant},2026-05-0${week + 1},20,${i % 7}`;
  });
  const text = `plot,treatment,block,plant,date,leaves,diseased\n${rows.join('\n')}\n`;
  await page.goto('/');
  await page
    .locator('input[type=file]')
    .first()
    .setInputFiles({
      name: 'large.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(text),
    });
  await expect(page.getByTestId('row-count')).toHaveText(
    '100\u202f000 rows read, 100\u202f000 used, 0 set aside.',
  );
  await expect(page.getByText('They make 20 plots and 5 rounds.')).toBeVisible();
  await page.getByRole('radio', { name: 'T0' }).check({ force: true });
  await page.getByRole('button', { name: 'Go on to the verdict' }).click();
  await readSentence(page);
});
