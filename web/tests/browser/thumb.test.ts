/** Reach and sight at the limits: a thumb, the narrowest screen, a person’s own colours. */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { atRest, openExample, person, SHEETS, toSheet } from './program';
import { stage } from './stage';

const at = stage(['--share=127.0.0.1']);

interface Target {
  readonly what: string;
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Everything that can be pressed and is seen; an input that its label covers is as large as the label. */
function targets(page: Page): Promise<Target[]> {
  return page.evaluate(() => {
    const all = [...document.querySelectorAll<HTMLElement>('button, input, select, textarea, a[href], summary')];
    const pressed = new Set(all.map((own) => (own instanceof HTMLInputElement && own.closest('label')) || own));
    return [...pressed].flatMap((own) => {
      if (!own.checkVisibility({ opacityProperty: false })) return [];
      const box = own.getBoundingClientRect();
      // A link that comes into sight with the focus stands outside until then.
      if (box.width <= 1 || box.right <= 0) return [];
      const what = `${own.tagName} ${own.innerText || own.getAttribute('aria-label') || own.id}`.slice(0, 60);
      const { width, height, left, right, top, bottom } = box;
      return [{ what, width, height, left, right, top: top + scrollY, bottom: bottom + scrollY }];
    });
  });
}

/** Where things lie side by side or one over the other, the air between them. */
function apart(a: Target, b: Target): number {
  return Math.max(a.left - b.right, b.left - a.right, a.top - b.bottom, b.top - a.bottom);
}

describe.each([
  [390, 780],
  [320, 568],
] as const)('on a phone of %d × %d', (width, height) => {
  test('all that is pressed on its readings page is 64 pixels wide and high, and nothing is wider than the screen', async () => {
    const { context: sharing, page: desk } = await person(at.browser);
    await openExample(desk, at.program.link);
    await toSheet(desk, 'hand-on');
    const answer = desk.waitForResponse(/\/api\/pairings$/);
    await desk.getByRole('button', { name: 'Let a phone in' }).click();
    const { link } = (await (await answer).json()) as { link: string };
    await sharing.close();
    const { context, page } = await person(at.browser, { width, height, touch: true });
    await page.goto(link);
    await page.locator('[data-suspect]').first().waitFor();
    await page.locator('.leads dd').first().waitFor();
    await page.getByRole('textbox', { name: /on the (meter|clamp)/ }).fill('0.027');
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'take back' }).first().waitFor();
    await page.getByLabel('of', { exact: true }).selectOption({ index: 1 });
    const found = await targets(page);
    expect(found.length).toBeGreaterThan(20);
    const small = found.filter((own) => Math.min(own.width, own.height) < 63.5);
    expect(small.map((own) => `${own.what}: ${Math.round(own.width)} × ${Math.round(own.height)}`)).toEqual([]);
    for (const own of found) expect(own.right, own.what).toBeLessThanOrEqual(width);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
    const keys = found.filter(({ what }) => /^BUTTON [0-9.,⌫±]$|Keep$/.test(what));
    expect(keys.length).toBeGreaterThan(13);
    for (const [i, a] of keys.entries())
      for (const b of keys.slice(i + 1)) expect(apart(a, b), `${a.what}, ${b.what}`).toBeGreaterThanOrEqual(7.9);
    await context.close();
  });
});

test('at 320 pixels no sheet is wider than the screen, and all that is pressed is 24 pixels or has room about it', async () => {
  const { context, page } = await person(at.browser, { width: 320, height: 568, touch: true });
  await openExample(page, at.program.link);
  for (const sheet of SHEETS) {
    await toSheet(page, sheet);
    await atRest(page);
    expect(await page.evaluate(() => document.documentElement.scrollWidth), sheet).toBeLessThanOrEqual(320);
    const low = (await targets(page)).filter(({ what, height }) => height < 23.5 && !what.startsWith('INPUT'));
    expect(low.map(({ what, height }) => `${sheet}: ${what} ${height}`)).toEqual([]);
  }
  await context.close();
});

test('in a person’s own colours every line of the plan keeps an edge, what is chosen is marked, and focus is seen', async () => {
  const { context, page } = await person(at.browser);
  await page.emulateMedia({ forcedColors: 'active' });
  await openExample(page, at.program.link);
  const sheetColour = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
  const edges = await page
    .locator('[data-branch] path.edge')
    .evaluateAll((all) => all.map((own) => getComputedStyle(own).stroke));
  expect(edges.length).toBeGreaterThan(20);
  for (const stroke of edges) expect(stroke).not.toBe(sheetColour);
  // Backgrounds are taken away: what is chosen has ink and ground changed for each other, the open sheet a bar.
  const ink = await page.evaluate(() => getComputedStyle(document.body).color);
  const style = (selector: string): Promise<{ ground: string; shadow: string }> =>
    page
      .locator(selector)
      .first()
      .evaluate((own) => {
        const { backgroundColor, boxShadow } = getComputedStyle(own);
        return { ground: backgroundColor, shadow: boxShadow };
      });
  expect((await style('fieldset label.chosen')).ground).toBe(ink);
  expect((await style('fieldset label:not(.chosen)')).ground).not.toBe(ink);
  expect((await style('nav a[aria-current]')).shadow).toContain('inset');
  expect((await style('nav a:not([aria-current])')).shadow).toBe('none');
  // Letters in the colour of the ground would vanish on the plate that the browser puts behind them.
  await toSheet(page, 'readings');
  await page.locator('.keys').waitFor();
  const vanished = await page.evaluate(() => {
    const ground = getComputedStyle(document.documentElement).backgroundColor;
    return [...document.querySelectorAll<HTMLElement>('body *')]
      .filter((own) => own.checkVisibility() && [...own.childNodes].some(({ nodeType }) => nodeType === Node.TEXT_NODE))
      .filter((own) => getComputedStyle(own).color === ground)
      .filter((own) => getComputedStyle(own).getPropertyValue('forced-color-adjust') !== 'none')
      .map((own) => own.outerHTML.slice(0, 80));
  });
  expect(vanished).toEqual([]);
  await toSheet(page, 'plan');
  await page.locator('.legend').waitFor();
  // The legend's shades are shades, not five empty boxes.
  const shades = await page
    .locator('.legend li i')
    .evaluateAll((all) => all.map((own) => getComputedStyle(own).backgroundColor));
  expect(new Set(shades).size).toBe(5);
  await page.keyboard.press('Tab');
  await page.keyboard.press('Tab');
  const focus = await page.evaluate(() => getComputedStyle(document.activeElement ?? document.body).outlineWidth);
  expect(Number.parseFloat(focus)).toBeGreaterThanOrEqual(2);
  await context.close();
});
