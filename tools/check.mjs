// The one way of checking everything: types, lint, format, import arrows, dead code.
// `npm run check -- types lint` runs only those named.
import { spawnSync } from 'node:child_process';

const steps = {
  types: ['npx tsc -b && npx tsc -p app && npx tsc -p cli && npx tsc -p tsconfig.tests.json'],
  lint: ['npx eslint --max-warnings 0 packages app cli bench data docs'],
  format: ['npx biome format .'],
  arrows: ['node tools/arrows.mjs'],
  dead: ['npx knip'],
};

const wanted = process.argv.slice(2);
let failed = 0;
for (const [name, [command]] of Object.entries(steps)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  const started = Date.now();
  const { status } = spawnSync(command, { shell: true, stdio: 'inherit' });
  const seconds = ((Date.now() - started) / 1000).toFixed(1);
  process.stdout.write(`${status === 0 ? 'ok  ' : 'FAIL'} ${name} (${seconds} s)\n`);
  if (status !== 0) failed++;
}
process.exit(failed === 0 ? 0 : 1);
