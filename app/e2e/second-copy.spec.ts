import { expect, type Page, test } from '@playwright/test';
import { bringIn } from './makeBook';
import { storedEntries } from './stored';

/** How a database may be found: gone, begun without stores, or with its stores and never filled. */
const found = ['gone', 'begun anew without stores', 'made anew and not filled'] as const;

// What a browser that found its own database damaged has done by the time a page is opened.
const throwAway = (page: Page, left: (typeof found)[number]): Promise<void> =>
  page.evaluate(async (how) => {
    const settled = (request: IDBRequest): Promise<unknown> =>
      new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(new Error(request.error?.message));
      });
    for (const name of ['fairbed-books', 'fairbed']) await settled(indexedDB.deleteDatabase(name));
    if (how === 'gone') return;
    const request = indexedDB.open('fairbed-books', how === 'made anew and not filled' ? 2 : 1);
    request.onupgradeneeded = () => {
      if (how !== 'made anew and not filled') return;
      const db = request.result;
      db.createObjectStore('books', { keyPath: 'id' });
      db.createObjectStore('tail');
      db.createObjectStore('chunks');
      const photos = db.createObjectStore('photos', { keyPath: 'hash' });
      photos.createIndex('documents', 'documents', { multiEntry: true });
    };
    ((await settled(request)) as IDBDatabase).close();
  }, left);

const second = { kind: 'round', thing: 'r2', value: { day: '2026-05-11' } } as const;
const plant = '/#/score/copied/r2/p1/1';
const standing = (page: Page) => page.getByRole('spinbutton', { name: 'Standing leaves, leaves' });

for (const left of found) {
  test(`a database that is ${left} is put back`, { tag: '@phone' }, async ({ page }) => {
    await bringIn(page, 'copied', [second]);
    await page.goto(plant);
    await standing(page).fill('12');
    await page.locator('.thumb-bar .next').click();
    await expect(page.locator('.round-bar')).toContainText('Saved');
    const before = await storedEntries(page, 'copied');
    // A page of the same origin that does not open the databases.
    await page.goto('/manifest.webmanifest');
    await throwAway(page, left);
    // The verdict's worker may be the first to find it so.
    await page.goto('/#/trial/copied');
    await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
    await expect(page.getByText('could not be opened')).toBeHidden();
    await page.goto(plant);
    await expect(standing(page)).toHaveValue('12');
    const after = await storedEntries(page, 'copied');
    const texts = (entries: readonly object[]) =>
      entries.map((entry) => JSON.stringify(entry)).toSorted();
    expect(texts(after)).toEqual(texts(before));
    await page.goto('/#/share/copied');
    await expect(page.getByText('put back from the second copy')).toBeVisible();
  });
}

test('a book erased for good stays away, though another page had it open', {
  tag: '@phone',
}, async ({ context }) => {
  const [one, two] = [await context.newPage(), await context.newPage()];
  await bringIn(one, 'gone', [second]);
  await one.goto('/#/score/gone/r2/p1/1');
  await standing(one).fill('12');
  await one.locator('.thumb-bar .next').click();
  await expect(one.locator('.round-bar')).toContainText('Saved');
  await two.goto('/#/share/gone');
  await two.getByText('Erase this trial from this device').click();
  await two.getByLabel(/^Type .erase. to go on$/).fill('erase');
  await two.getByRole('button', { name: 'Erase it for good' }).click();
  await expect(async () => {
    const files = await two.evaluate(async () => {
      const root = await navigator.storage.getDirectory();
      const folder = await root.getDirectoryHandle('fairbed-copies');
      const names: string[] = [];
      for await (const name of (folder as unknown as { keys(): AsyncIterable<string> }).keys()) {
        names.push(name);
      }
      return names;
    });
    expect(files).toContain('book%3Agone.erased');
  }).toPass({ timeout: 10_000 });
  await one.goto('/manifest.webmanifest');
  await two.goto('/manifest.webmanifest');
  await throwAway(two, 'gone');
  await two.goto('/#/');
  await expect(two.getByRole('heading', { level: 1 })).toBeVisible();
  await two.goto('/#/score/gone/r2/p1/1');
  await expect(two.getByText('This trial is not on this device')).toBeVisible();
});
