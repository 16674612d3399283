#!/usr/bin/env node
// The bundle is made by the root's `prepare` script; where install scripts were switched off it is
// made here, the first time.
import { existsSync } from 'node:fs';

if (!existsSync(new URL('../dist/fairbed.js', import.meta.url))) {
  await import('../../tools/build-cli.mjs');
}
await import('../dist/fairbed.js');
