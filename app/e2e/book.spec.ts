import { expect, type Page, test } from '@playwright/test';
import type { Parts } from './book-parts';
import { openParts } from './bundle';

declare const bookParts: { readonly parts: Parts };

// What is kept has no size on a screen.
const once = { tag: '@laptop' } as const;

const standing = 'r1/101/3//standing';
const diseased = 'r1/101/3//diseased';

test("the browser's store does all that a store of entries must", once, async ({ page }) => {
  await openParts(page);
  expect(await page.evaluate(() => bookParts.parts.cases)).toBeGreaterThan(10);
  expect(await page.evaluate(() => bookParts.parts.failedCases())).toEqual([]);
});

test(
  'two pages of one browser share what they write, and both keep all of it',
  once,
  async ({ context }) => {
    const pages = [await context.newPage(), await context.newPage()] as const;
    const [one, two] = pages;
    await openParts(one);
    await one.evaluate(() => bookParts.parts.startBook('shared').write('plan', 'title', 'Leeks'));
    await openParts(two);
    const valueOn = (page: Page, thing: string) =>
      page.evaluate(
        async (about) =>
          (await bookParts.parts.openBook('shared')).book.current('score', about) ?? null,
        thing,
      );
    expect(await valueOn(two, standing)).toBeNull();
    const write = (page: Page, thing: string, value: number) =>
      page.evaluate(async (line) => (await bookParts.parts.openBook('shared')).writeAll([line]), {
        kind: 'score',
        thing,
        value,
      });
    await write(one, standing, 9);
    await expect.poll(() => valueOn(two, standing)).toBe(9);
    await Promise.all([write(one, standing, 10), write(two, diseased, 2), write(two, diseased, 3)]);
    for (const page of pages) {
      await expect.poll(() => valueOn(page, standing)).toBe(10);
      await expect.poll(() => valueOn(page, diseased)).toBe(3);
    }
    await openParts(two);
    expect(await valueOn(two, standing)).toBe(10);
    expect(await valueOn(two, diseased)).toBe(3);
    const ids = await two.evaluate(async () =>
      (await bookParts.parts.openBook('shared')).book.entries().map(({ id }) => id),
    );
    expect(new Set(ids).size).toBe(5);
  },
);

test('a season of entries is rolled together and comes back in order', once, async ({ page }) => {
  await openParts(page);
  const found = await page.evaluate(async () => {
    const { startBook, entriesStore, rollTail } = bookParts.parts;
    const open = startBook('season');
    for (let plant = 1; plant <= 500; plant++) {
      await open.write('score', `r1/101/${plant}//standing`, plant % 20);
      if (plant % 150 === 0) await rollTail('season');
    }
    return (await entriesStore.read('season')).length;
  });
  expect(found).toBe(500);
  await openParts(page);
  const again = await page.evaluate(async () => {
    const open = await bookParts.parts.openBook('season');
    return open.book.entries().map(({ thing }) => thing);
  });
  expect(again).toEqual(Array.from({ length: 500 }, (_, i) => `r1/101/${i + 1}//standing`));
});

/** An APP1 part that turns the picture a quarter (orientation 6) and carries a place. */
function exif(): number[] {
  const place = new TextEncoder().encode('GPS 52.5200N 13.4050E');
  const tiff = [
    ...[0x4d, 0x4d, 0, 42, 0, 0, 0, 8],
    ...[0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0, 0, 0, 0, 0],
    ...place,
  ];
  const body = [...[0x45, 0x78, 0x69, 0x66, 0, 0], ...tiff];
  const length = body.length + 2;
  return [0xff, 0xe1, length >> 8, length & 255, ...body];
}

test(
  'a photo is kept upright, no larger than it need be, and without its place',
  once,
  async ({ page }) => {
    await openParts(page);
    const kept = await page.evaluate(async (app1) => {
      const canvas = new OffscreenCanvas(2400, 1200);
      const pen = canvas.getContext('2d');
      if (!pen) throw new Error('nothing to draw on');
      pen.fillStyle = '#0a0';
      pen.fillRect(0, 0, 2400, 1200);
      pen.fillStyle = '#e00';
      // The left edge of the file is the top edge of the picture once it is turned.
      pen.fillRect(0, 0, 600, 1200);
      const jpeg = await canvas.convertToBlob({ type: 'image/jpeg' });
      const bytes = new Uint8Array(await jpeg.arrayBuffer());
      const taken = new Blob([bytes.slice(0, 2), new Uint8Array(app1), bytes.slice(2)], {
        type: 'image/jpeg',
      });
      const textOf = async (blob: Blob) =>
        new TextDecoder('latin1').decode(await blob.arrayBuffer());
      const { reencode } = bookParts.parts;
      const made = await reencode(taken);
      const blob = new Blob([made.bytes], { type: made.type });
      const shown = await createImageBitmap(blob);
      const look = new OffscreenCanvas(shown.width, shown.height).getContext('2d');
      look?.drawImage(shown, 0, 0);
      const top = look?.getImageData(400, 100, 1, 1).data ?? [];
      const bottom = look?.getImageData(400, 1400, 1, 1).data ?? [];
      return {
        before: (await textOf(taken)).includes('GPS 52'),
        after: /Exif|GPS/.test(await textOf(blob)),
        size: [made.width, made.height, shown.width, shown.height],
        type: made.type,
        top: [...top],
        bottom: [...bottom],
      };
    }, exif());
    expect(kept).toMatchObject({ before: true, after: false, type: 'image/jpeg' });
    expect(kept.size).toEqual([800, 1600, 800, 1600]);
    expect(kept.top[0]).toBeGreaterThan(200);
    expect(kept.bottom[1]).toBeGreaterThan(140);
  },
);
