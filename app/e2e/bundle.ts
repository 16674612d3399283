import { fileURLToPath } from 'node:url';
import type { Page } from '@playwright/test';
import { rolldown } from 'rolldown';

let made: Promise<string> | undefined;

async function bundle(): Promise<string> {
  const input = fileURLToPath(new URL('./book-parts.ts', import.meta.url));
  // The bundle has no address of its own, so workers can't be found from it.
  const whole = await rolldown({ input, transform: { define: { 'import.meta': '{}' } } });
  const { output } = await whole.generate({ format: 'iife', name: 'bookParts' });
  return output[0].code;
}

/** A bare page of the app's own address, with `bookParts.parts` on it. */
export async function openParts(page: Page, address = '/bare.html'): Promise<void> {
  made ??= bundle();
  await page.route('**/bare.html', (route) =>
    route.fulfill({ contentType: 'text/html', body: '<!doctype html><title>Bare</title>' }),
  );
  await page.goto(address);
  await page.evaluate(`${await made};globalThis.bookParts = bookParts`);
}
