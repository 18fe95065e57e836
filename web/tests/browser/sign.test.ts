import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { person, SOON, toSheet } from './program';
import { stage } from './stage';

const at = stage();

const SIZES = [
  { width: 390, height: 844, touch: true },
  { width: 1440, height: 900, touch: false },
] as const;

async function camper(page: Page): Promise<void> {
  await page.goto(at.program.link);
  await page.getByRole('button', { name: 'camper van' }).click();
  await page.locator('svg[data-zoom]').waitFor();
  await toSheet(page, 'readings');
  await page.locator('.leads dd').first().waitFor();
}

async function between(page: Page, red: string, black: string): Promise<void> {
  await page.getByText('Another reading, or what is complained of').click();
  await page.getByLabel('state', { exact: true }).selectOption('cranking');
  await page.getByLabel('red on', { exact: true }).selectOption(red);
  await page.getByLabel('black on', { exact: true }).selectOption(black);
  await page.getByRole('button', { name: 'Measure this' }).click();
}

const field = (page: Page) => page.getByRole('textbox', { name: /on the (meter|clamp)/ });
const keep = (page: Page): Promise<void> => page.getByRole('button', { name: 'Keep', exact: true }).click();
const entries = (page: Page) => page.getByRole('list', { name: 'Readings, the newest first' }).locator('li');

describe('a sign that nobody wrote down', () => {
  for (const size of SIZES) {
    test(`is asked about before the reading is kept, at ${size.width} pixels, and accuses nobody`, async () => {
      const { context, page } = await person(at.browser, size);
      await camper(page);
      await between(page, 'main/-', 'block/front');
      await field(page).fill('0.147');
      await keep(page);
      const asked = page.getByRole('group', { name: /Did the meter show a minus\?/ });
      await asked.waitFor();
      expect(await asked.innerText()).toContain('\u2212147\u00a0mV');
      expect(await entries(page).count()).toBe(0);
      for (const box of await asked.getByRole('button').all())
        expect((await box.boundingBox())?.height ?? 0).toBeGreaterThanOrEqual(44);
      await asked.getByRole('button', { name: /^Yes/ }).click();
      await expect.poll(() => entries(page).first().innerText(), SOON).toContain('main/- to block/front -0.147 V');
      await expect.poll(() => page.locator('tr.nothing').innerText(), SOON).toMatch(/[789]\d/);
      expect(await page.locator('[data-suspect]').allInnerTexts()).not.toContain(
        'a path that the file does not show 63',
      );
      await context.close();
    });
  }

  test('is asked about when a battery shows a minus, and what is kept all the same is not weighed', async () => {
    const { context, page } = await person(at.browser, SIZES[0]);
    await camper(page);
    await between(page, 'main/+', 'main/-');
    await field(page).fill('-10.93');
    await keep(page);
    const asked = page.getByRole('group', { name: /Were the leads the other way round\?/ });
    await asked.getByRole('button', { name: /^No/ }).click();
    await expect.poll(() => entries(page).first().innerText(), SOON).toContain('main/+ to main/- -10.93 V');
    await page.getByText(/No battery shows a minus/).waitFor();
    await page.getByText(/it is not weighed/).waitFor();
    await context.close();
  });
});

describe('leads and clamp', () => {
  test('are put so that a sound vehicle shows no minus, and the arrow has an end to point to', async () => {
    const { context, page } = await person(at.browser, SIZES[0]);
    await camper(page);
    const shown: string[] = [];
    for (let i = 0; i < 6; i += 1) {
      shown.push(await page.getByText(/^A sound vehicle shows/).innerText());
      await page.getByRole('button', { name: 'I cannot take this one' }).click();
    }
    expect(new Set(shown).size).toBeGreaterThan(3);
    expect(shown.filter((words) => words.includes('\u2212'))).toEqual([]);
    await page.getByText('Another reading, or what is complained of').click();
    await page.getByLabel('state', { exact: true }).selectOption('cranking');
    await page.getByLabel('measure', { exact: true }).selectOption('A');
    await page.getByLabel('clamp round', { exact: true }).selectOption('main-negative');
    await page.getByRole('button', { name: 'Measure this' }).click();
    // The starter's current goes home from the block to the battery's minus.
    await expect.poll(() => page.locator('.leads').innerText(), SOON).toMatch(/its arrow towards\s+main\s*\/\s*\u2212/);
    await field(page).fill('215');
    await keep(page);
    await expect.poll(() => entries(page).first().innerText(), SOON).toContain('main-negative towards main/- 215 A');
    await context.close();
  });
});
