// Everything `npm test` stands for, in the order in which a fault is cheapest to find:
// the checks, the builds, the unit and contract tests, the budget, the browser tests.
// Goes on after a failure so that one run tells all; ends with a plain count.
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { wantPoppler } from './debian.mjs';
import { findChromium } from './find-chromium.mjs';

const count = { passed: 0, failed: 0, skipped: 0 };

function run(name, command, env = {}) {
  process.stdout.write(`\n== ${name}\n`);
  const started = Date.now();
  const { status } = spawnSync(command, {
    shell: true,
    stdio: 'inherit',
    env: { ...process.env, ...env },
  });
  process.stdout.write(
    `== ${name}: ${status === 0 ? 'ok' : 'FAILED'} (${((Date.now() - started) / 1000).toFixed(1)} s)\n`,
  );
  return status === 0;
}

const step = (name, command) => (run(name, command) ? count.passed++ : count.failed++);

/** A port that nobody listens on. */
const freePort = () =>
  new Promise((found, failed) => {
    const server = createServer().on('error', failed);
    server.listen(0, () => {
      const { port } = server.address();
      server.close(() => found(String(port)));
    });
  });

function readJson(file) {
  try {
    return JSON.parse(readFileSync(file, 'utf8'));
  } catch {
    return undefined;
  }
}

rmSync('test-results', { recursive: true, force: true });
mkdirSync('test-results', { recursive: true });

for (const name of ['types', 'lint', 'format', 'arrows', 'dead'])
  step(name, `node tools/check.mjs ${name}`);
step('build of the command line', 'node tools/build-cli.mjs');
step('build of the app', 'npx vite build app --logLevel warn');

wantPoppler();
const unitOk = run(
  'unit and contract tests',
  'npx vitest run --reporter=dot --reporter=json --outputFile.json=test-results/unit.json',
);
const unit = readJson('test-results/unit.json');
count.passed += unit?.numPassedTests ?? 0;
count.failed += unit?.numFailedTests ?? 0;
count.skipped += (unit?.numPendingTests ?? 0) + (unit?.numTodoTests ?? 0);
if (!unitOk && !unit?.numFailedTests) count.failed++;

step('size of the first load', 'node tools/size.mjs');

const chromium = await findChromium();
if (chromium) {
  process.stdout.write(`Browser tests run in ${chromium}\n`);
  const ok = run('browser tests', 'npx playwright test -c app/e2e/playwright.config.ts', {
    CHROMIUM_PATH: chromium,
    FAIRBED_TEST_PORT: await freePort(),
  });
  const stats = readJson('test-results/e2e.json')?.stats;
  count.passed += stats ? stats.expected + stats.flaky : 0;
  count.failed += stats?.unexpected ?? 0;
  count.skipped += stats?.skipped ?? 0;
  if (!ok && !stats?.unexpected) count.failed++;
} else {
  count.skipped++;
}

process.stdout.write(
  `\n${count.passed} passed, ${count.failed} failed, ${count.skipped} skipped\n`,
);
process.exit(count.failed === 0 ? 0 : 1);
