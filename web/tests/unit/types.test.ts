/** The page's types are those of the program: made from docs/openapi.json, which is made from the Rust types. */
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const WEB = fileURLToPath(new URL('../../', import.meta.url));

test('the types that the page uses are made from the description of the interface as it is now', () => {
  const checked = spawnSync('npm', ['run', 'types', '--silent', '--', '--check'], { cwd: WEB, encoding: 'utf8' });
  expect(checked.status, `make them anew with \`npm run types\` in web/: ${checked.stderr}`).toBe(0);
}, 60_000);
