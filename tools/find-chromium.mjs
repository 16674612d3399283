// Finds a Chromium for the browser tests: the one named by CHROMIUM_PATH, one on the PATH, the
// test library's own; failing these, installs Debian's where that is allowed. Says which.
import { existsSync } from 'node:fs';
import { installFromDebian, onPath } from './debian.mjs';

async function own() {
  const { chromium } = await import('@playwright/test');
  const path = chromium.executablePath();
  return path && existsSync(path) ? path : undefined;
}

function fromDebian() {
  return installFromDebian('chromium') ? onPath('chromium') : undefined;
}

/** Path of a Chromium, or undefined with a sentence on standard error. */
export async function findChromium() {
  const named = process.env.CHROMIUM_PATH;
  if (named && existsSync(named)) return named;
  const found =
    onPath('chromium') ??
    onPath('chromium-browser') ??
    onPath('google-chrome') ??
    (await own()) ??
    fromDebian();
  if (!found) {
    process.stderr.write(
      'SKIPPED: the browser tests need Chromium and none was found. Install it (Debian: "sudo apt-get install chromium"; ' +
        'elsewhere: "npx playwright install chromium") or name one with CHROMIUM_PATH, then run npm test again.\n',
    );
  }
  return found;
}
