/** The meter's leads, the way of a clamp and the colour of what is bad, as they are really drawn. */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { openExample, person, SOON, toSheet } from './program';
import { stage } from './stage';

const at = stage();

type Rgb = readonly [number, number, number];

/** The colour in which a thing is filled: a shape of a drawing, or a box, or what stands before a box. */
async function fillOf(page: Page, selector: string, before = false): Promise<Rgb> {
  const text = await page
    .locator(selector)
    .first()
    .evaluate((element, pseudo) => {
      const style = getComputedStyle(element, pseudo ? '::before' : undefined);
      return element instanceof SVGElement ? style.fill : style.backgroundColor;
    }, before);
  const [red = Number.NaN, green = Number.NaN, blue = Number.NaN, alpha = 1] = (text.match(/[\d.]+/g) ?? []).map(
    Number,
  );
  return alpha < 1 ? [Number.NaN, Number.NaN, Number.NaN] : [red, green, blue];
}

const black = (colour: Rgb): boolean => Math.max(...colour) <= 24;
const red = ([r, g, b]: Rgb): boolean => r > 1.8 * Math.max(g, b);

async function volts(page: Page, from: string, to: string): Promise<void> {
  await page.locator('summary', { hasText: 'Another reading' }).click();
  await page.getByLabel('state', { exact: true }).selectOption('cranking');
  await page.getByLabel('measure', { exact: true }).selectOption('V');
  await page.getByLabel('red on', { exact: true }).selectOption(from);
  await page.getByLabel('black on', { exact: true }).selectOption(to);
  await page.getByRole('button', { name: 'Measure this' }).click();
}

describe.each([
  ['light', 1440, 900],
  ['dark', 1440, 900],
  ['dark', 390, 844],
] as const)('in the %s theme, %d wide', (scheme, width, height) => {
  test('a black lead is black and a red one red, beside the question and on the plan, in one’s own colours too', async () => {
    const { context, page } = await person(at.browser, { scheme, width, height });
    await openExample(page, at.program.link);
    await toSheet(page, 'readings');
    await page.locator('.leads').first().waitFor();
    await volts(page, 'block/front', 'main/-');
    await page.locator('[data-lead="black"] path').waitFor();
    for (const forcedColors of ['none', 'active'] as const) {
      await page.emulateMedia({ forcedColors, colorScheme: scheme });
      expect(black(await fillOf(page, '.leads .black', true)), `lead, ${forcedColors}`).toBe(true);
      expect(red(await fillOf(page, '.leads .red', true)), `lead, ${forcedColors}`).toBe(true);
      expect(black(await fillOf(page, '[data-lead="black"] path')), `plan, ${forcedColors}`).toBe(true);
      expect(red(await fillOf(page, '[data-lead="red"] path')), `plan, ${forcedColors}`).toBe(true);
    }
    await context.close();
  });
});

test('a clamp’s arrow points to the end that the words name', async () => {
  const { context, page } = await person(at.browser);
  await openExample(page, at.program.link);
  await toSheet(page, 'readings');
  await page.locator('.leads').first().waitFor();
  await page.locator('summary', { hasText: 'Another reading' }).click();
  await page.getByLabel('state', { exact: true }).selectOption('cranking');
  await page.getByLabel('measure', { exact: true }).selectOption('A');
  await page.getByLabel('clamp round', { exact: true }).selectOption('main-negative');
  await page.getByRole('button', { name: 'Measure this' }).click();
  expect(await page.locator('.leads').innerText()).toMatch(/its arrow towards\s+main.\/.−/);
  await page.locator('[data-lead="clamp"] .arrow').waitFor();
  const spots = await page.locator('[data-lead="clamp"] .arrow .shaft').evaluate((shaft) => {
    const box = document.querySelector('[data-site="block/front"]')?.getBoundingClientRect();
    const way = (shaft as SVGPathElement).getScreenCTM();
    if (!box || !way) throw new Error('nothing is drawn');
    const spot = (x: number): { x: number; y: number } => new DOMPoint(x, 0).matrixTransform(way);
    const far = ({ x, y }: { x: number; y: number }): number =>
      Math.hypot(x - box.x - box.width / 2, y - box.y - box.height / 2);
    return { head: far(spot(27)), tail: far(spot(-27)) };
  });
  // It leaves the block.
  expect(spots.tail).toBeLessThan(spots.head - 20);
  await context.close();
});

test('what is almost certainly bad has no green bar', async () => {
  const { context, page } = await person(at.browser);
  await openExample(page, at.program.link);
  await toSheet(page, 'readings');
  await page.locator('[data-suspect^="main-negative"]').first().waitFor();
  await toSheet(page, 'plan');
  await page.locator('details summary', { hasText: 'The plan as a table' }).click();
  await page.locator('details table').getByRole('button', { name: 'main-negative', exact: true }).click();
  await page.locator('.joints').getByRole('button', { name: /block/ }).click();
  const bar = page.getByRole('meter', { name: 'Probability that it is bad' });
  await bar.waitFor();
  await expect.poll(async () => Number(await bar.getAttribute('aria-valuenow')), SOON).toBeGreaterThan(90);
  expect(red(await fillOf(page, '[role="meter"] i'))).toBe(true);
  await context.close();
});
