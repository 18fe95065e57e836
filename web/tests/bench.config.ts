import { defineConfig } from 'vitest/config';

// What depends on the clock: figures to be read, in front of the release program, on a machine with nothing else to do.
export default defineConfig({
  test: {
    include: ['tests/bench/**/*.bench.test.ts'],
    environment: 'node',
    fileParallelism: false,
    testTimeout: 600_000,
    hookTimeout: 600_000,
  },
});
