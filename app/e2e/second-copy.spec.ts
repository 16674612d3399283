import { expect, type Page, test } from '@playwright/test';
import { bringIn } from './makeBook';
import { storedEntries } from './stored';

// What a browser that found its own database damaged has done by the time a page is opened.
const throwAway = (page: Page, leaveEmpty: boolean): Promise<void> =>
  page.evaluate(async (empty) => {
    const settled = (request: IDBRequest): Promise<unknown> =>
      new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(new Error(request.error?.message));
      });
    for (const name of ['fairbed-books', 'fairbed']) {
      await settled(indexedDB.deleteDatabase(name));
      if (empty) ((await settled(indexedDB.open(name))) as IDBDatabase).close();
    }
  }, leaveEmpty);

const second = { kind: 'round', thing: 'r2', value: { day: '2026-05-11' } } as const;
const plant = '/#/score/copied/r2/p1/1';
const standing = (page: Page) => page.getByRole('spinbutton', { name: 'Standing leaves, leaves' });

for (const leaveEmpty of [false, true]) {
  test(`a database thrown away by the browser${leaveEmpty ? ', and begun anew without stores,' : ''} is put back`, {
    tag: '@phone',
  }, async ({ page }) => {
    await bringIn(page, 'copied', [second]);
    await page.goto(plant);
    await standing(page).fill('12');
    await page.locator('.thumb-bar .next').click();
    await expect(page.locator('.round-bar')).toContainText('Saved');
    const before = await storedEntries(page, 'copied');
    // A page of the same origin that does not open the databases.
    await page.goto('/manifest.webmanifest');
    await throwAway(page, leaveEmpty);
    await page.goto(plant);
    await expect(standing(page)).toHaveValue('12');
    const after = await storedEntries(page, 'copied');
    const texts = (entries: readonly object[]) =>
      entries.map((entry) => JSON.stringify(entry)).toSorted();
    expect(texts(after)).toEqual(texts(before));
  });
}
