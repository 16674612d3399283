import { expect, test } from '@playwright/test';
import { readSentence } from './sheets';

test('everything works without a network after the first load', async ({ page, context }) => {
  await page.goto('/');
  await page.evaluate(() => navigator.serviceWorker.ready);
  await expect(page.getByText('Ready to work without a network.')).toBeVisible();
  await context.setOffline(true);
  await page.goto('/#/trial/demo-chard-leaf-spot');
  await page.reload();
  const sentence = await readSentence(page);
  expect(sentence.length).toBeGreaterThan(20);
  await page.goto('/');
  await page.reload();
  await expect(page.getByRole('link', { name: /Leek rust/ })).toBeVisible();
  const font = await page.evaluate(async () => {
    await document.fonts.ready;
    return document.fonts.check('17px "Atkinson Hyperlegible Next Variable"');
  });
  expect(font).toBe(true);
});

test('nothing is asked of any other address', async ({ page }) => {
  const asked: string[] = [];
  page.on('request', (request) => asked.push(request.url()));
  await page.goto('/#/trial/demo-chard-leaf-spot');
  await readSentence(page);
  const origin = new URL(page.url()).origin;
  expect(asked.filter((url) => !url.startsWith(origin) && !url.startsWith('blob:'))).toEqual([]);
  expect(asked.length).toBeGreaterThan(3);
});
