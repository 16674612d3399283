import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { packageToTrial } from '@fairbed/files';
import { type BrowserContext, expect, type Page } from '@playwright/test';

/** Waits until the whole app is on the device, and takes the network away. */
export async function goOffline(page: Page): Promise<void> {
  await page.goto('/');
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  await expect(page.getByText('Ready to work without a network.')).toBeVisible();
  await page.context().setOffline(true);
}

/** Gives the device the name that goes with what is written on it. */
export async function nameDevice(page: Page, id: string, name: string): Promise<void> {
  await page.goto(`/#/share/${id}`);
  await page.getByLabel('Name on this device').fill(name);
  await page.getByRole('button', { name: 'Keep the name' }).click();
  await expect(page.getByTestId('announcer')).toContainText(`The name is ${name}`);
}

/** Saves a back-up by the screen's own button; the path of the file. */
export async function saveBackup(page: Page, id: string): Promise<string> {
  await page.goto(`/#/share/${id}`);
  const saving = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save a back-up', exact: true }).click();
  const saved = await saving;
  expect(saved.suggestedFilename()).toMatch(/\.zip$/);
  return saved.path();
}

/** Brings a back-up in on the trial's own page; what the page says of it. */
export async function bringBackupIn(page: Page, id: string, path: string): Promise<string> {
  await page.goto(`/#/share/${id}`);
  await page
    .locator('main input[type=file]')
    .first()
    .setInputFiles({ name: 'other.zip', mimeType: 'application/zip', buffer: readFileSync(path) });
  const taken = page.getByTestId('taken');
  await expect(taken).toBeVisible();
  return taken.innerText();
}

/** What is in a back-up, read by the room of files; a fault in it fails. */
export function readBackup(path: string) {
  const sha256 = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');
  const { trial, entries, photos, problems } = packageToTrial(
    readFileSync(path),
    'backup.zip',
    sha256,
  );
  if (trial === undefined || entries === undefined) throw new Error(JSON.stringify(problems));
  return { trial, entries, photos: photos ?? new Map<string, Uint8Array>() };
}

/** Sets every clock of the context's pages to nine in the morning of a day. */
export const setDay = (context: BrowserContext, day: string): Promise<void> =>
  context.clock.setSystemTime(`${day}T09:00:00`);
