/** Paper says the same as the screen, and all of it. */
import { expect, test } from 'vitest';
import { atRest, openExample, person, SHEETS, SOON, toSheet } from './program';
import { stage } from './stage';

const at = stage();

/** A4 upright is 210 mm wide; the margins take 26. */
const ROOM = ((210 - 26) / 25.4) * 96;

test('drawings are laid out for the sheet while it is printed, whatever was zoomed, and for the screen again after it', async () => {
  const { context, page } = await person(at.browser, { scheme: 'dark' });
  await openExample(page, at.program.link);
  for (const sheet of ['plan', 'volts', 'readings'] as const) {
    await toSheet(page, sheet);
    const drawing = sheet === 'volts' ? '.strip svg' : 'svg.picture';
    await page.locator(drawing).waitFor();
    if (sheet !== 'volts') await page.getByRole('button', { name: 'Closer' }).click();
    await atRest(page);
    const widths = (): Promise<number[]> =>
      page
        .locator(`${drawing}, .strip svg`)
        .evaluateAll((all) => all.map((own) => (own as SVGSVGElement).width.baseVal.value));
    const before = await widths();
    expect(Math.max(...before)).toBeGreaterThan(ROOM);
    // What stands there at the moment of printing, seen by a listener that comes after the page's own.
    await page.evaluate((selector) => {
      addEventListener(
        'beforeprint',
        () => {
          const all = [...document.querySelectorAll<SVGSVGElement>(`${selector}, .strip svg`)];
          Object.assign(window, {
            printed: all.map((own) => own.width.baseVal.value),
            zoom: document.querySelector('svg.picture')?.getAttribute('data-zoom'),
            table: document.querySelectorAll('details.table tbody tr').length,
          });
        },
        { once: true },
      );
    }, drawing);
    await page.pdf({ format: 'A4' });
    const { printed, zoom, table } = await page.evaluate(() => {
      const { printed, zoom, table } = window as unknown as { printed: number[]; zoom?: string; table: number };
      return { printed, zoom, table };
    });
    expect(printed).toHaveLength(before.length);
    for (const width of printed) expect(width, sheet).toBeLessThanOrEqual(ROOM);
    if (sheet !== 'volts') expect(zoom).toBe('1');
    // The numbers of the plan are printed as a table too, although it is closed on the screen.
    if (sheet === 'plan') expect(table).toBeGreaterThan(20);
    await expect.poll(widths, SOON).toEqual(before);
  }
  await context.close();
});

test('on paper every sheet is headed by the vehicle and its revision, and nothing that is pressed is left on it', async () => {
  const { context, page } = await person(at.browser);
  await openExample(page, at.program.link);
  for (const sheet of SHEETS) {
    await page.emulateMedia({ media: 'screen' });
    await toSheet(page, sheet);
    await atRest(page);
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.paper-head').innerText(), sheet).toMatch(/Rescue ambulance.*revision 1/);
    const left = await page
      .locator('button:not(.plain), input, select, textarea, .screen-only, nav, .cm-editor')
      .evaluateAll((all) => all.filter((own) => own.checkVisibility()).map((own) => own.outerHTML.slice(0, 90)));
    expect(left, sheet).toEqual([]);
  }
  // The file is printed whole, not the piece that the editor shows.
  await page.emulateMedia({ media: 'screen' });
  await toSheet(page, 'file');
  await page.emulateMedia({ media: 'print' });
  const printed = await page.locator('pre.paper-only').innerText();
  expect(printed.split('\n').length).toBeGreaterThan(300);
  await context.close();
});
