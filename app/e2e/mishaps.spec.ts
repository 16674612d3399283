import { expect, type Page, test, type TestInfo } from '@playwright/test';
import { saveBackup } from './devices';
import { inProfile, oneSize, openProfile } from './killed';
import { bringIn } from './makeBook';
import { bookFrom, storedEntries } from './stored';

const second = { kind: 'round', thing: 'r2', value: { day: '2026-05-11' } } as const;
const standing = 'r2/p1/1//standing';

const standingOn = (page: Page) =>
  page.getByRole('spinbutton', { name: 'Standing leaves, leaves' });
const bar = (page: Page) => page.locator('.round-bar');
const next = (page: Page) => page.locator('.thumb-bar .next');

async function count(page: Page, leaves: number): Promise<void> {
  await standingOn(page).fill(String(leaves));
  await standingOn(page).press('Enter');
}

/** Sets how much room the pages of this address have on disk; without a number, all there is. */
type GiveRoom = (bytes?: number) => Promise<unknown>;

/**
 * Brings a book in and opens a plant of it on a disk that has become full. The browser is started
 * anew between: it remembers for minutes how much room there was.
 */
async function openFull(info: TestInfo, folder: string, id: string) {
  const before = await openProfile(folder, info);
  await bringIn(before.page, id, [second]);
  await before.context.close();
  const { context, page: keeper } = await openProfile(folder, info);
  await keeper.goto('/icon.svg');
  const cdp = await context.newCDPSession(keeper);
  const { origin } = new URL(keeper.url());
  const giveRoom: GiveRoom = (bytes) =>
    cdp.send('Storage.overrideQuotaForOrigin', {
      origin,
      ...(bytes === undefined ? {} : { quotaSize: bytes }),
    });
  await giveRoom(1);
  const page = await context.newPage();
  await page.goto(`/#/score/${id}/r2/p1/1`);
  await expect(bar(page)).toContainText('Saved');
  return { context, page, giveRoom };
}

test(
  'without room the screen says that it is not saved, and saves once there is room',
  { tag: oneSize },
  async ({}, info) => {
    await inProfile(async (folder) => {
      const id = 'full';
      const { context, page, giveRoom } = await openFull(info, folder, id);
      const before = (await storedEntries(page, id)).length;
      await count(page, 31);
      await expect(bar(page)).toContainText('Not saved');
      await expect(bar(page).getByRole('alert')).toContainText('This device has no room left.');
      await next(page).click();
      await count(page, 32);
      await next(page).click();
      await expect(bar(page)).toContainText('2 of 80');
      await expect(bar(page)).toContainText('Not saved');
      expect(await storedEntries(page, id)).toHaveLength(before);
      await page.getByRole('button', { name: 'Back' }).click();
      await expect(standingOn(page)).toHaveValue('32');

      await giveRoom();
      await tryAgain(page);
      const book = bookFrom(await storedEntries(page, id));
      expect(book.current('score', standing)).toBe(31);
      expect(book.current('score', 'r2/p1/2//standing')).toBe(32);
      await context.close();
    });
  },
);

async function tryAgain(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Try again' }).click();
  await expect(bar(page)).not.toContainText('Not saved');
  await expect(bar(page)).toContainText('Saved');
}

test(
  'a page that is closed without room loses nothing that was entered',
  { tag: oneSize },
  async ({}, info) => {
    await inProfile(async (folder) => {
      const id = 'shut';
      const { context, page, giveRoom } = await openFull(info, folder, id);
      await count(page, 41);
      await next(page).click();
      await expect(bar(page)).toContainText('Not saved');
      const asked: string[] = [];
      page.on('dialog', (dialog) => {
        asked.push(dialog.type());
        void dialog.accept();
      });
      await page.reload();
      expect(asked).toEqual(['beforeunload']);
      await page.goto(`/#/score/${id}/r2/p1/1`);
      await expect(standingOn(page)).toHaveValue('41');
      await expect(bar(page)).toContainText('Not saved');
      await giveRoom();
      await tryAgain(page);
      expect(bookFrom(await storedEntries(page, id)).current('score', standing)).toBe(41);
      await context.close();
    });
  },
);

const year = 365 * 24 * 3600 * 1000;

test('a clock set a year back and forth loses nothing, and what was entered last shows', async ({
  page,
}, info) => {
  const id = `clock${info.project.name}`;
  const now = Date.now();
  await page.clock.install({ time: now });
  await bringIn(page, id, [second]);
  const plant = `/#/score/${id}/r2/p1/1`;
  await page.goto(plant);
  const given = [21, 22, 23, 24, 25];
  const clocks = [0, -year, year, 0, -year];
  for (const [i, leaves] of given.entries()) {
    await page.clock.setSystemTime(now + (clocks[i] ?? 0));
    await count(page, leaves);
    await next(page).click();
    await expect(bar(page)).toContainText('Saved');
    await page.getByRole('button', { name: 'Back' }).click();
    await expect(standingOn(page)).toHaveValue(String(leaves));
    // Every other time the page is opened anew under the clock as it is then.
    if (i % 2 === 1) await page.reload();
    await expect(standingOn(page)).toHaveValue(String(leaves));
  }
  const history = bookFrom(await storedEntries(page, id)).history('score', standing);
  expect(history.map(({ value }) => value)).toEqual(given);
  // What the device's own clock said is kept where it was set back.
  const told = history.map(({ at }) => at);
  expect(told[3]).toBeLessThan(now + year / 2);
  expect(told[4]).toBeLessThan(now - year / 2);
});

test('storage that was cleared is said to hold nothing, and a back-up brings all of it back', async ({
  page,
  context,
}, info) => {
  const id = `cleared${info.project.name}`;
  await bringIn(page, id, [second]);
  await page.goto(`/#/score/${id}/r2/p1/1`);
  await count(page, 51);
  await next(page).click();
  await expect(bar(page)).toContainText('Saved');
  const entries = await storedEntries(page, id);
  const backup = await saveBackup(page, id);
  const cdp = await context.newCDPSession(page);
  const { origin } = new URL(page.url());
  await page.goto('about:blank');
  await cdp.send('Storage.clearDataForOrigin', { origin, storageTypes: 'all' });
  await page.goto(`/#/score/${id}/r2/p1/1`);
  await expect(page.locator('main')).toContainText('This trial is not on this device.');
  await page.goto('/');
  await page.locator('input[type=file]').first().setInputFiles(backup);
  await expect(page).toHaveURL(new RegExp(`#/bed/${id}$`));
  expect(await storedEntries(page, id)).toEqual(entries);
  await page.goto(`/#/score/${id}/r2/p1/1`);
  await expect(standingOn(page)).toHaveValue('51');
  await count(page, 52);
  await next(page).click();
  await expect(bar(page)).toContainText('Saved');
  const history = bookFrom(await storedEntries(page, id)).history('score', standing);
  expect(history.map(({ value }) => value)).toEqual([51, 52]);
});

test('a part of the program that fails once is read again', { tag: '@phone' }, async ({ page }) => {
  let failed = 0;
  await page.route(/assets\/ShelfScreen-.*\.js$/, (route) => {
    failed += 1;
    return failed === 1 ? route.abort() : route.fallback();
  });
  await page.goto('/#/');
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
  expect(failed).toBeGreaterThan(0);
});
