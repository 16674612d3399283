import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: [
      'packages/*/src/**/*.test.{ts,tsx}',
      'packages/*/gallery/**/*.test.{ts,tsx}',
      'cli/src/**/*.test.ts',
      'app/src/**/*.test.{ts,tsx}',
      'data/**/*.test.ts',
      'docs/**/*.test.ts',
    ],
    testTimeout: 60_000,
    maxWorkers: 2,
  },
});
