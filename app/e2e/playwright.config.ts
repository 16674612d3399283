import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { defineConfig } from '@playwright/test';

const root = fileURLToPath(new URL('../../', import.meta.url));

// The one named, else the system's, else the one Playwright brings.
const chromium = [process.env.CHROMIUM_PATH, '/usr/bin/chromium'].find(
  (path) => path !== undefined && path !== '' && existsSync(path),
);

// `npm test` names a free one: another server on the usual port would be tested in place of ours.
const given = process.env.FAIRBED_TEST_PORT;
const port = given === undefined ? 4173 : Number(given);

export default defineConfig({
  testDir: '.',
  outputDir: `${root}test-results/e2e`,
  workers: 2,
  fullyParallel: true,
  forbidOnly: true,
  timeout: 60_000,
  expect: { timeout: 20_000 },
  reporter: [['line'], ['json', { outputFile: `${root}test-results/e2e.json` }]],
  use: {
    baseURL: `http://localhost:${port}`,
    trace: 'retain-on-failure',
    launchOptions: {
      ...(chromium === undefined ? {} : { executablePath: chromium }),
      args: [
        '--no-sandbox',
        '--disable-quic',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
        '--no-first-run',
      ],
    },
  },
  // Where one size is enough, a test has the tag of that size, and its reason stands beside it.
  projects: [
    {
      name: 'phone',
      grepInvert: /@laptop/,
      use: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
    },
    {
      name: 'laptop',
      grepInvert: /@phone/,
      use: { viewport: { width: 1440, height: 900 } },
    },
  ],
  webServer: {
    command: `npx vite build app && npx vite preview app --port ${port} --strictPort`,
    cwd: root,
    url: `http://localhost:${port}`,
    reuseExistingServer: process.env.CI === undefined && given === undefined,
    timeout: 120_000,
  },
});
