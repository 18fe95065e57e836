import { mkdirSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { atRest, openExample, openText, person, SHEETS, startProgram, toSheet } from './program';
import { stage } from './stage';
import { vehicleFile } from './vehicle';

const at = stage();

interface Box {
  readonly id: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** The names on the plan as the browser has drawn them. */
function boxes(page: Page): Promise<Box[]> {
  return page.locator('[data-label]').evaluateAll((labels) =>
    labels.map((label) => {
      const { x, y, width, height } = label.getBoundingClientRect();
      return { id: label.getAttribute('data-label') ?? '', x, y, width, height };
    }),
  );
}

async function settled(page: Page): Promise<void> {
  await page.locator('[data-label]').first().waitFor();
  await atRest(page);
}

const SIZES = [
  [390, 844],
  [820, 1180],
  [1440, 900],
] as const;

describe.each(SIZES)('at %d × %d', (width, height) => {
  test.each(['rescue ambulance', 'harbour workboat', 'utility cart', '130 joints'])(
    'no name on the plan of the %s covers another in any state',
    async (name) => {
      const { context, page } = await person(at.browser, { width, height });
      if (name === '130 joints') await openText(page, at.program.link, vehicleFile(130));
      else await openExample(page, at.program.link, new RegExp(name));
      await settled(page);
      let seen = 0;
      for (const state of await page
        .locator('fieldset input[type=radio]')
        .evaluateAll((all) =>
          all
            .filter((one) => one.closest('fieldset')?.querySelector('legend')?.textContent === 'Operating state')
            .map((one) => (one as HTMLInputElement).value),
        )) {
        await page.locator(`input[value="${state}"]`).check({ force: true });
        await atRest(page);
        const all = await boxes(page);
        seen += all.length;
        for (const [i, a] of all.entries()) {
          for (const b of all.slice(i + 1)) {
            const wide = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x);
            const high = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
            // Boxes of text hold the line's own air: two pixels of it may meet.
            expect(wide > 1 && high > 2, `${state}: ${a.id} and ${b.id}`).toBe(false);
          }
        }
      }
      expect(seen).toBeGreaterThan(10);
      await context.close();
    },
  );
});

test('every line keeps an outline, feed and return differ by more than colour, and grey sight sees it', async () => {
  const { context, page } = await person(at.browser);
  await openExample(page, at.program.link);
  const feed = page.locator('[data-branch="starter-positive"]');
  const back = page.locator('[data-branch="main-negative"]');
  expect(await feed.locator('path.core').count()).toBe(1);
  expect(await back.locator('path.core').count()).toBe(0);
  for (const wire of [feed, back]) expect(await wire.locator('path.edge').count()).toBe(1);
  await context.close();
});

const SHOTS = process.env['GROUNDLOOM_SHOTS'];

test.runIf(SHOTS)(
  'pictures for people to look at',
  async () => {
    mkdirSync(SHOTS as string, { recursive: true });
    for (const [width, height] of SIZES) {
      for (const scheme of ['light', 'dark'] as const) {
        const empty = await startProgram();
        const { context, page } = await person(at.browser, { width, height, scheme });
        await page.goto(empty.link);
        await page.getByRole('heading', { name: 'Open a file' }).waitFor();
        const shot = (what: string): Promise<unknown> =>
          page.screenshot({ path: `${SHOTS}/${what}-${width}-${scheme}.png` });
        await page.waitForTimeout(400);
        await shot('empty');
        await page.getByRole('button', { name: /rescue/ }).click();
        await page.locator('svg[data-zoom]').waitFor();
        await settled(page);
        await shot('plan');
        await page.locator('details summary', { hasText: 'The plan as a table' }).click();
        await page.locator('details table').getByRole('button', { name: 'main-negative', exact: true }).click();
        await page.locator('details summary', { hasText: 'The plan as a table' }).click();
        await page.evaluate(() => scrollTo(0, 0));
        await page.waitForTimeout(300);
        await shot('card');
        for (const [sheet, sign] of [
          ['volts', '[data-told="budget"] .bars'],
          ['readings', '[data-suspect]'],
          ['failures', '.page'],
          ['work', 'article.job'],
          ['file', '.cm-content'],
          ['hand-on', 'article table'],
        ] as const) {
          await page.evaluate((name) => {
            location.hash = location.hash.replace(/[^/]*$/, name);
          }, sheet);
          await page.locator(sign).first().waitFor();
          await page.waitForTimeout(900);
          await shot(sheet);
        }
        await page.goto(`${empty.origin}/#/`);
        await page
          .locator('input[type=file]')
          .setInputFiles({ name: 'made.toml', mimeType: 'text/plain', buffer: Buffer.from(vehicleFile(130)) });
        await page.locator('svg[data-zoom]').waitFor();
        await settled(page);
        await shot('large');
        await context.close();
        await empty.close();
      }
    }
  },
  600_000,
);

test.runIf(SHOTS)(
  'pictures of the phone’s page, of what opens over a sheet, and of paper',
  async () => {
    mkdirSync(SHOTS as string, { recursive: true });
    const shared = await startProgram(['--share=127.0.0.1']);
    for (const scheme of ['light', 'dark'] as const) {
      const { context, page } = await person(at.browser, { scheme });
      await openExample(page, shared.link);
      await settled(page);
      await page.getByRole('button', { name: 'Show as…' }).click();
      await page.screenshot({ path: `${SHOTS}/settings-${scheme}.png` });
      await page.keyboard.press('Escape');
      await toSheet(page, 'hand-on');
      const answer = page.waitForResponse(/\/api\/pairings$/);
      await page.getByRole('button', { name: 'Let a phone in' }).click();
      const { link } = (await (await answer).json()) as { link: string };
      await page.locator('.phones img').waitFor();
      await page.screenshot({ path: `${SHOTS}/pairing-${scheme}.png` });
      const { context: pocket, page: phone } = await person(at.browser, {
        width: 390,
        height: 844,
        touch: true,
        scheme,
      });
      await phone.goto(`${shared.origin}/p`);
      await phone.getByRole('heading', { name: 'Let this phone in' }).waitFor();
      await phone.screenshot({ path: `${SHOTS}/phone-door-${scheme}.png` });
      // The link differs from the door in its fragment alone, which by itself loads nothing.
      await phone.goto('about:blank');
      await phone.goto(link);
      await phone.locator('[data-suspect]').first().waitFor();
      await phone.waitForTimeout(900);
      await phone.screenshot({ path: `${SHOTS}/phone-${scheme}.png` });
      await phone.screenshot({ path: `${SHOTS}/phone-whole-${scheme}.png`, fullPage: true });
      await page.waitForTimeout(900);
      await page.screenshot({ path: `${SHOTS}/paired-${scheme}.png` });
      await pocket.close();
      for (const sheet of SHEETS) {
        await page.emulateMedia({ media: 'screen' });
        await toSheet(page, sheet);
        await page.waitForTimeout(sheet === 'failures' ? 8000 : 2500);
        if (sheet === 'plan') await page.locator('details summary', { hasText: 'The plan as a table' }).click();
        await page.screenshot({ path: `${SHOTS}/whole-${sheet}-${scheme}.png`, fullPage: true });
        await page.emulateMedia({ media: 'print' });
        await page.pdf({ path: `${SHOTS}/paper-${sheet}-${scheme}.pdf`, preferCSSPageSize: false, format: 'A4' });
      }
      await context.close();
    }
    await shared.close();
  },
  600_000,
);
