// Bundles the command line into cli/dist/fairbed.js so that `npx fairbed` starts at once on
// any supported Node, with no second step after `npm ci`.
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'rolldown';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
await build({
  cwd: root,
  input: 'cli/src/main.ts',
  platform: 'node',
  logLevel: 'warn',
  transform: { define: { 'process.env.NODE_ENV': '"production"' } },
  output: { file: 'cli/dist/fairbed.js', format: 'esm', minify: false },
});
