import { defineConfig } from 'vitest/config';

// A test mostly waits for its page: two files at a time keep two cores busy, each with a program and a browser of its own.
// A limit is for what hangs: nothing here is held against the clock.
export default defineConfig({
  test: {
    include: ['tests/browser/**/*.test.ts'],
    environment: 'node',
    maxWorkers: 2,
    testTimeout: 600_000,
    hookTimeout: 300_000,
  },
});
