import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { expect, type Page, test } from '@playwright/test';
import { makeHarmed } from '../../packages/files/gallery/makeharmed';
import { bringBackupIn, readBackup, saveBackup } from './devices';
import { bringIn } from './makeBook';
import { storedEntries } from './stored';

const second = { kind: 'round', thing: 'r2', value: { day: '2026-05-11' } } as const;
const garden = 'Made-up garden, 47.3769 N';

/** A picture as a phone takes it: a JPEG with the place it was taken and words in its metadata. */
async function photoWithPlace(page: Page): Promise<Buffer> {
  const base64 = await page.evaluate(async () => {
    const canvas = new OffscreenCanvas(2000, 1500);
    const pen = canvas.getContext('2d');
    if (pen === null) throw new Error('Nothing to draw on.');
    for (let i = 0; i < 400; i++) {
      pen.fillStyle = `hsl(${(i * 47) % 360} 60% 45%)`;
      pen.fillRect((i % 20) * 100, Math.floor(i / 20) * 75, 100, 75);
    }
    const blob = await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.9 });
    const bytes = new Uint8Array(await blob.arrayBuffer());
    return btoa(bytes.reduce((text, byte) => text + String.fromCharCode(byte), ''));
  });
  const jpeg = Buffer.from(base64, 'base64');
  return Buffer.concat([jpeg.subarray(0, 2), placeSegment(), jpeg.subarray(2)]);
}

/** An Exif segment (Exif 2.3, TIFF 6.0, big-endian) of a description and a latitude. */
function placeSegment(): Buffer {
  const text = Buffer.from(`${garden}\0`);
  const field = (tag: number, type: number, count: number, value: number): Buffer => {
    const bytes = Buffer.alloc(12);
    bytes.writeUInt16BE(tag, 0);
    bytes.writeUInt16BE(type, 2);
    bytes.writeUInt32BE(count, 4);
    bytes.writeUInt32BE(value, 8);
    return bytes;
  };
  const list = (...fields: readonly Buffer[]): Buffer =>
    Buffer.concat([Buffer.from([0, fields.length]), ...fields, Buffer.alloc(4)]);
  const [header, first] = [8, 2 + 2 * 12 + 4];
  const gps = header + first;
  const behind = gps + 2 + 2 * 12 + 4;
  const degrees = Buffer.alloc(24);
  [47, 1, 22, 1, 37, 1].forEach((n, i) => degrees.writeUInt32BE(n, i * 4));
  const tiff = Buffer.concat([
    Buffer.from([0x4d, 0x4d, 0, 42, 0, 0, 0, 8]),
    // ImageDescription, and where the list of the place stands.
    list(field(0x010e, 2, text.length, behind + 24), field(0x8825, 4, 1, gps)),
    // GPSLatitudeRef "N", GPSLatitude in three fractions.
    list(field(1, 2, 2, 0x4e000000), field(2, 5, 3, behind)),
    degrees,
    text,
  ]);
  const head = Buffer.from([0xff, 0xe1, 0, 0]);
  head.writeUInt16BE(2 + 6 + tiff.length, 2);
  return Buffer.concat([head, Buffer.from('Exif\0\0'), tiff]);
}

const has = (bytes: Uint8Array, text: string): boolean => Buffer.from(bytes).includes(text);
const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

/** Brings a made-up book in, takes a photo of a plant by the screen's own button; its back-up. */
async function photographed(page: Page, id: string): Promise<string> {
  await bringIn(page, id, [second]);
  await page.goto(`/#/score/${id}/r2/p3/2`);
  const buffer = await photoWithPlace(page);
  expect(has(buffer, garden) && has(buffer, 'Exif')).toBe(true);
  await page
    .locator('.take-photo input[type=file]')
    .setInputFiles({ name: 'IMG_0001.jpg', mimeType: 'image/jpeg', buffer });
  await expect(page.locator('.take-photo')).toContainText('Photo kept.');
  await page.getByRole('spinbutton', { name: 'Standing leaves, leaves' }).fill('17');
  await page.locator('.thumb-bar .next').click();
  await expect(page.locator('.round-bar')).toContainText('Saved');
  return saveBackup(page, id);
}

test('a trial taken out and brought in on another device is the same, its photo too', async ({
  page,
  browser,
}, info) => {
  const id = `packed${info.project.name}`;
  const path = await photographed(page, id);
  const { trial, entries, photos } = readBackup(path);
  expect(photos.size).toBe(1);
  const [[hash, jpeg]] = [...photos] as [[string, Uint8Array]];
  expect(sha256(jpeg)).toBe(hash);
  expect([...jpeg.subarray(0, 3)]).toEqual([0xff, 0xd8, 0xff]);
  for (const text of [garden, 'Exif', 'IMG_0001']) expect(has(jpeg, text), text).toBe(false);
  const about = trial.photos?.[0];
  expect(about).toMatchObject({ hash, round: 'r2', plot: 'p3', plant: '2', width: 1600 });

  const other = await browser.newContext();
  const there = await other.newPage();
  await there.goto('/');
  await there.locator('input[type=file]').first().setInputFiles(path);
  await expect(there).toHaveURL(new RegExp(`#/bed/${id}$`));
  const back = readBackup(await saveBackup(there, id));
  expect(back.entries).toEqual(entries);
  expect(back.trial).toEqual(trial);
  expect([...back.photos]).toEqual([...photos]);
  await there.goto(`/#/photos/${id}/p3`);
  const picture = there.getByRole('list', { name: /Photos in the order/ }).locator('img');
  await expect(picture).toHaveJSProperty('complete', true);
  await expect(picture).toHaveJSProperty('naturalWidth', 1600);
  expect(await bringBackupIn(there, id, path)).toContain('held nothing new');
  await other.close();
});

type Damage = { readonly name: string; readonly of: (whole: Uint8Array) => Uint8Array };

const text = (bytes: Uint8Array | undefined): string => Buffer.from(bytes ?? []).toString('utf8');

const damages: readonly Damage[] = [
  { name: 'cut off', of: (whole) => whole.subarray(0, Math.floor(whole.length * 0.7)) },
  {
    name: 'one bit flipped',
    of: (whole) => whole.map((byte, i) => (i === Math.floor(whole.length / 2) ? byte ^ 1 : byte)),
  },
  {
    name: 'a figure of the ledger changed',
    of: (whole) =>
      makeHarmed(whole, (parts) => {
        const ledger = text(parts['entries.csv']);
        const other = ledger.replace(/,17,/, ',71,');
        expect(other).not.toBe(ledger);
        parts['entries.csv'] = Buffer.from(other);
      }),
  },
  {
    name: 'the ledger left out',
    of: (whole) =>
      makeHarmed(whole, (parts) => {
        delete parts['entries.csv'];
      }),
  },
  {
    name: 'another picture under the hash of the photo',
    of: (whole) =>
      makeHarmed(whole, (parts) => {
        const [photo = ''] = Object.keys(parts).filter((part) => part.endsWith('.jpg'));
        parts[photo] = (parts[photo] ?? new Uint8Array()).slice().reverse();
      }),
  },
];

test('a damaged file is refused with its reasons, and nothing of it is taken in', async ({
  page,
  browser,
}, info) => {
  const id = `harmed${info.project.name}`;
  const path = await photographed(page, id);
  const whole = new Uint8Array(readFileSync(path));
  const before = await storedEntries(page, id);
  const other = await browser.newContext();
  const there = await other.newPage();
  for (const { name, of } of damages) {
    const file = {
      name: 'harmed.zip',
      mimeType: 'application/zip',
      buffer: Buffer.from(of(whole)),
    };
    await there.goto('/');
    await there.locator('input[type=file]').first().setInputFiles(file);
    const alert = there.getByRole('alert');
    await expect(alert, name).toContainText('Nothing was changed.');
    const reasons = alert.getByRole('row');
    expect(await reasons.count(), `reasons: ${name}`).toBeGreaterThan(1);
    await there.goto(`/#/bed/${id}`);
    await expect(there.getByText('No trial with this address'), name).toBeVisible();

    await page.goto(`/#/share/${id}`);
    await page.locator('main input[type=file]').first().setInputFiles(file);
    await expect(page.getByTestId('taken'), name).toContainText(
      'harmed.zip was refused. Nothing was changed.',
    );
    expect(await storedEntries(page, id), name).toEqual(before);
  }
  // Whole again, the same file is taken in.
  await there.goto('/');
  await there.locator('input[type=file]').first().setInputFiles(path);
  await expect(there).toHaveURL(new RegExp(`#/bed/${id}$`));
  expect(await storedEntries(there, id)).toHaveLength(before.length);
  await other.close();
});
