import { defineConfig } from 'vitest/config';

// One browser at a time on few cores. A limit is for what hangs: nothing here is held against the clock.
export default defineConfig({
  test: {
    include: ['tests/browser/**/*.test.ts'],
    environment: 'node',
    maxWorkers: 2,
    testTimeout: 600_000,
    hookTimeout: 300_000,
  },
});
