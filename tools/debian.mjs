// What the tests use beside npm packages comes from Debian where this machine lacks it and may
// install it.
import { spawnSync } from 'node:child_process';

/** Path of a program, or undefined. */
export const onPath = (name) => {
  const { status, stdout } = spawnSync('which', [name], { encoding: 'utf8' });
  return status === 0 ? stdout.trim() : undefined;
};

/** Installs a Debian package where that is allowed; true where it was tried. */
export function installFromDebian(name) {
  const root = typeof process.getuid === 'function' && process.getuid() === 0;
  if (!root || !onPath('apt-get')) return false;
  process.stderr.write(`${name} is missing; installing the Debian package ...\n`);
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  const quiet = { stdio: ['ignore', 'ignore', 'inherit'], env };
  spawnSync('apt-get', ['update', '-qq'], quiet);
  spawnSync('apt-get', ['install', '-y', '-qq', name], quiet);
  return true;
}

/** Poppler reads the printed sheets back; where it can't be had those tests say so and skip. */
export function wantPoppler() {
  if (onPath('pdftotext') === undefined) installFromDebian('poppler-utils');
}
