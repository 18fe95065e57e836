/** One program and one browser for all tests of a file, begun before the first and ended after the last. */
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll } from 'vitest';
import { openBrowser, type Program, startProgram } from './program';

export interface Stage {
  readonly program: Program;
  readonly browser: Browser;
}

export function stage(args: readonly string[] = []): Stage {
  const now: { program?: Program; browser?: Browser } = {};
  beforeAll(async () => {
    now.program = await startProgram(args);
    now.browser = await openBrowser();
  });
  afterAll(async () => {
    await now.browser?.close();
    await now.program?.close();
  });
  return {
    get program() {
      return begun(now.program);
    },
    get browser() {
      return begun(now.browser);
    },
  };
}

function begun<T>(own: T | undefined): T {
  if (own === undefined) throw new Error('the program and the browser are there once the tests run');
  return own;
}
