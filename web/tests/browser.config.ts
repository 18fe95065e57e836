import { defineConfig } from 'vitest/config';

// One browser at a time: these tests measure time and share two cores.
export default defineConfig({
  test: {
    include: ['tests/browser/**/*.test.ts'],
    environment: 'node',
    fileParallelism: false,
    testTimeout: 90_000,
    hookTimeout: 90_000,
  },
});
