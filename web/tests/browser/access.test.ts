import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { atRest, openExample, person, SHEETS, toSheet } from './program';
import { stage } from './stage';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const at = stage();

interface Violation {
  readonly id: string;
  readonly nodes: readonly { readonly html: string; readonly failureSummary: string }[];
}

/** Everything that axe finds, with the place. */
async function violations(page: Page): Promise<string[]> {
  await page.evaluate(AXE);
  const found = await page.evaluate(async () => {
    const { axe } = window as unknown as { axe: { run: (options: object) => Promise<{ violations: Violation[] }> } };
    return (await axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }))
      .violations;
  });
  return found.flatMap(({ id, nodes }) =>
    nodes.map(({ html, failureSummary }) => `${id}: ${html.slice(0, 160)} ${failureSummary}`),
  );
}

const SETTLED: Partial<Record<(typeof SHEETS)[number], string>> = {
  plan: '[data-label]',
  volts: '[data-told="budget"] .bars',
  readings: '[data-suspect]',
  work: 'article.job',
  file: '.cm-content',
  'hand-on': 'article table',
};

describe.each(['light', 'dark', 'sun'] as const)('in the %s theme', (theme) => {
  test('axe finds nothing on any view', async () => {
    const { context, page } = await person(at.browser, { scheme: theme === 'dark' ? 'dark' : 'light' });
    await page.addInitScript(`localStorage.setItem('groundloom.settings', '{"theme":"${theme}"}')`);
    await page.goto(at.program.link);
    await page.getByRole('heading', { name: 'Open a file' }).waitFor();
    expect(await violations(page), 'doors').toEqual([]);
    await page.getByRole('button', { name: /rescue/ }).click();
    await page.locator('svg[data-zoom]').waitFor();
    for (const sheet of SHEETS) {
      await toSheet(page, sheet);
      const sign = SETTLED[sheet];
      if (sign) await page.locator(sign).first().waitFor();
      else await atRest(page);
      if (sheet === 'readings') await page.getByText('Why: the readings one by one').click();
      if (sheet === 'work') {
        await page.getByRole('button', { name: 'Keep this answer' }).click();
        await page.getByText('it stands under Hand on').waitFor();
        await page.getByRole('button', { name: 'It is done' }).click();
        await page.locator('[data-work]').waitFor();
      }
      if (sheet === 'hand-on') await page.locator('[data-kept]').waitFor();
      expect(await violations(page), sheet).toEqual([]);
    }
    // With readings from before the last work, and what was taken back.
    await toSheet(page, 'readings');
    await page.getByText('from before the last work').click();
    await page
      .locator('h1')
      .first()
      .evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
    await page.keyboard.press('Control+z');
    await page.getByText(/^Taken back: /).waitFor();
    expect(await violations(page), 'taken back').toEqual([]);
    await toSheet(page, 'plan');
    await page.locator('details summary', { hasText: 'The plan as a table' }).click();
    await page.locator('details table').getByRole('button', { name: 'main-negative', exact: true }).click();
    await page.locator('[data-card]').waitFor();
    expect(await violations(page), 'card').toEqual([]);
    await page.getByRole('button', { name: 'Draw a cable' }).click();
    expect(await violations(page), 'drawing').toEqual([]);
    await page.getByRole('button', { name: 'Show as…' }).click();
    expect(await violations(page), 'settings').toEqual([]);
    await context.close();
  });
});

test('the phone page and a phone’s width: axe finds nothing, and nothing is wider than the screen', async () => {
  const { context, page } = await person(at.browser, { width: 390, height: 844, touch: true });
  await openExample(page, at.program.link);
  for (const sheet of SHEETS) {
    await toSheet(page, sheet);
    const sign = SETTLED[sheet];
    if (sign) await page.locator(sign).first().waitFor();
    else await atRest(page);
    expect(await violations(page), sheet).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth), sheet).toBeLessThanOrEqual(390);
  }
  await page.goto(`${at.program.origin}/p`);
  await page.getByRole('heading', { name: 'Let this phone in' }).waitFor();
  expect(await violations(page), 'phone').toEqual([]);
  await context.close();
});

describe('with a keyboard alone', () => {
  /** Presses Tab until the focus is where it is wanted; every stop must be seen. */
  async function tabTo(page: Page, wanted: string, most = 120): Promise<void> {
    for (let i = 0; i < most; i += 1) {
      await page.keyboard.press('Tab');
      const there = await page.evaluate((selector) => {
        const own = document.activeElement;
        if (!own || own === document.body) return { hit: false, seen: true, what: '' };
        const ring = own.closest('label') ?? own;
        const style = getComputedStyle(own);
        const outer = getComputedStyle(ring);
        const width = Math.max(Number.parseFloat(style.outlineWidth), Number.parseFloat(outer.outlineWidth));
        const shown = style.outlineStyle !== 'none' || outer.outlineStyle !== 'none';
        const editor = own.classList.contains('cm-content');
        return { hit: own.matches(selector), seen: editor || (shown && width >= 2), what: own.outerHTML.slice(0, 120) };
      }, wanted);
      expect(there.seen, `focus is not seen on ${there.what}`).toBe(true);
      if (there.hit) return;
    }
    throw new Error(`Tab never came to ${wanted}`);
  }

  test('the main job: example, plan, a dragged joint, a reading, the repair', async () => {
    const { context, page } = await person(at.browser);
    await page.goto(at.program.link);
    await page.getByRole('button', { name: /rescue/ }).waitFor();
    await tabTo(page, 'section:last-child .layouts button');
    await page.keyboard.press('Enter');
    await page.locator('[data-label]').first().waitFor();
    // On the plan: arrows move from thing to thing, Enter goes to the card.
    await tabTo(page, '[role=listbox]');
    const picked = new Set<string | null>();
    for (const key of ['ArrowRight', 'ArrowRight', 'ArrowDown', 'ArrowRight', 'ArrowDown', 'ArrowLeft', 'ArrowUp']) {
      await page.keyboard.press(key);
      picked.add(await page.locator('[role=option][aria-selected=true]').innerText());
    }
    expect(picked.size).toBeGreaterThan(3);
    await page.keyboard.press('+');
    await expect
      .poll(async () => Number(await page.locator('svg[data-zoom]').getAttribute('data-zoom')))
      .toBeGreaterThan(1);
    await page.keyboard.press('0');
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe('Title block');
    // The table beside it leads to a cable, its joint, and the slider.
    await tabTo(page, 'details summary');
    await page.keyboard.press('Enter');
    await tabTo(page, 'details table button');
    await page.keyboard.press('Enter');
    await page.locator('[data-card]').waitFor();
    await page.locator('aside').focus();
    await tabTo(page, 'input[type=range]');
    await page.keyboard.press('ArrowRight');
    await page.getByText('Solved in full').waitFor();
    // Readings: type and Enter.
    await page.locator('nav a', { hasText: 'Readings' }).focus();
    await page.keyboard.press('Enter');
    await page.locator('.leads dd').first().waitFor();
    await tabTo(page, '.field > input');
    await page.keyboard.type('0,3');
    await page.keyboard.press('Enter');
    await page.getByText(/Kept: /).waitFor();
    // Work: the best job, recorded.
    await page.locator('nav a', { hasText: 'Work' }).focus();
    await page.keyboard.press('Enter');
    await page.locator('article.job').waitFor();
    await tabTo(page, 'article.job button.main');
    await page.keyboard.press('Enter');
    await page.getByText('Now take the same reading again').waitFor();
    await context.close();
  });
});
