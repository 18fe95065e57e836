/** A strap that burns because another piece failed: marked on the plan, in words, and not by colour alone. */
import { mkdirSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { HIDDEN_FUSE } from './hidden-fuse';
import { person, SOON, toSheet } from './program';
import { stage } from './stage';

const at = stage();

const SHOTS = process.env['GROUNDLOOM_SHOTS'];

async function failures(page: Page): Promise<void> {
  await page.goto(at.program.link);
  await page.getByRole('heading', { name: 'Open a file' }).waitFor();
  await page
    .locator('input[type=file]')
    .setInputFiles({ name: 'pickup.toml', mimeType: 'text/plain', buffer: Buffer.from(HIDDEN_FUSE) });
  await page.locator('svg[data-zoom]').waitFor();
  await toSheet(page, 'failures');
  await page.locator('[data-hidden=body-wire]').waitFor();
}

/** How the burning piece and its surroundings are painted, as bytes of a picture. */
async function painted(page: Page): Promise<Buffer> {
  const box = await page.locator('[data-branch=body-wire]').boundingBox();
  if (!box) throw new Error('body-wire is not on the plan');
  const clip = { x: box.x - 8, y: box.y - 8, width: box.width + 16, height: box.height + 16 };
  return page.screenshot({ clip });
}

describe.each(['light', 'dark', 'sun'] as const)('in the %s theme', (theme) => {
  test('the wire that burns when the main ground opens is marked on the plan, painted otherwise, and named', async () => {
    const { context, page, complaints } = await person(at.browser, { scheme: theme === 'dark' ? 'dark' : 'light' });
    await page.addInitScript(`localStorage.setItem('groundloom.settings', '{"theme":"${theme}"}')`);
    await failures(page);
    const hidden = page.locator('[data-hidden=body-wire]');
    expect(await hidden.innerText()).toMatch(
      /body-wire[\s\S]*melts in[\s\S]*when main-negative opens[\s\S]*saved by nothing opens first/,
    );
    const wire = page.locator('[data-branch=body-wire]');
    expect(await page.locator('[data-burning]').count()).toBe(0);
    const before = await painted(page);
    await hidden.getByRole('button').click();
    await page.getByText('The plan shows the currents while main-negative').waitFor();
    expect(await wire.getAttribute('data-burning')).toBe('burns');
    expect(Math.abs(Number(await wire.getAttribute('data-amps')))).toBeGreaterThan(200);
    expect(await page.locator('[data-branch=main-negative]').getAttribute('data-burning')).toBeNull();
    expect((await painted(page)).equals(before)).toBe(false);
    // By pattern and by word, not by colour alone.
    const dashes = await wire
      .locator('path.burning')
      .evaluateAll((all) => all.map((own) => getComputedStyle(own).strokeDasharray));
    expect(dashes.some((own) => own !== 'none')).toBe(true);
    expect(await page.locator('[data-label=body-wire]').textContent()).toContain('burns');
    await expect
      .poll(
        () =>
          page
            .getByRole('status')
            .allInnerTexts()
            .then((all) => all.join('\n')),
        SOON,
      )
      .toMatch(/Marked on the plan: body-wire burns/);
    expect(await page.getByRole('img', { name: /^main-negative opens: .*body-wire/ }).count()).toBe(1);
    if (SHOTS) {
      mkdirSync(SHOTS, { recursive: true });
      await page.screenshot({ path: `${SHOTS}/burning-${theme}.png` });
      await page.addStyleTag({ content: 'html { filter: grayscale(1) }' });
      await page.screenshot({ path: `${SHOTS}/burning-${theme}-grey.png` });
    }
    await page.getByRole('button', { name: 'Whole again' }).click();
    await expect.poll(() => page.locator('[data-burning]').count(), SOON).toBe(0);
    expect(complaints).toEqual([]);
    await context.close();
  });
});
