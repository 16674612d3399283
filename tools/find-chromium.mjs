// Finds a Chromium for the browser tests: the one named by CHROMIUM_PATH, one on the PATH, the
// test library's own; failing these, installs Debian's where that is allowed. Says which.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const onPath = (name) => {
  const { status, stdout } = spawnSync('which', [name], { encoding: 'utf8' });
  return status === 0 ? stdout.trim() : undefined;
};

async function own() {
  const { chromium } = await import('@playwright/test');
  const path = chromium.executablePath();
  return path && existsSync(path) ? path : undefined;
}

function fromDebian() {
  const root = typeof process.getuid === 'function' && process.getuid() === 0;
  if (!root || !onPath('apt-get')) return undefined;
  process.stderr.write('Chromium is missing; installing the Debian package ...\n');
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  spawnSync('apt-get', ['update', '-qq'], { stdio: ['ignore', 'ignore', 'inherit'], env });
  spawnSync('apt-get', ['install', '-y', '-qq', 'chromium'], {
    stdio: ['ignore', 'ignore', 'inherit'],
    env,
  });
  return onPath('chromium');
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
