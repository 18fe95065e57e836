/** What is tried on the plan and written into the file: the right place, or nothing and a reason. */
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { asked, openText, person, SOON } from './program';
import { stage } from './stage';
import { vehicleFile } from './vehicle';

const at = stage();

const HEADED =
  /\[conductors\.main-negative\]\nsize = "70 mm²"\nlength = "0\.6 m"\nfrom = "main\/-"\nto = "frame\/s0"\n/;
/** The main return cable as others write it, below a remark that looks like one. */
function written(cable: string): string {
  const text = vehicleFile(30).replace(HEADED, `${cable}\n`);
  const note = 'note = """\n[conductors.main-negative]\nsize = "1 mm²"\n"""\n';
  return text.replace('nominal = "12 V"\n', `nominal = "12 V"\n${note}`);
}

const kept = async (id: string): Promise<{ revision: number; text: string }> =>
  (await asked<{ vehicle: { revision: number; text: string } }>(at.program, `/api/vehicles/${id}`)).vehicle;

const numberOf = (page: Page): string => /#\/(\d+)\//.exec(page.url())?.[1] ?? '';

/** Picks the cable, drags it to the thickest size, and has that written. */
async function drag(page: Page): Promise<void> {
  await page.locator('details summary', { hasText: 'The plan as a table' }).click();
  await page.locator('details table').getByRole('button', { name: 'main-negative', exact: true }).click();
  const slider = page.getByRole('slider', { name: 'try another size' });
  await slider.focus();
  await slider.press('End');
  await page.getByText('Solved in full').waitFor();
  await page.getByRole('button', { name: 'Write it into the file' }).click();
}

describe('a dragged size', () => {
  test.each([
    [
      'single quotes',
      "[conductors.main-negative]\nsize = '70 mm²' # by eye\nlength = '0.6 m'\nfrom = 'main/-'\nto = 'frame/s0'",
      "'70 mm²'",
    ],
    [
      'braces',
      "[conductors]\nmain-negative = { size = '70 mm²', length = '0.6 m', from = 'main/-', to = 'frame/s0' }",
      "'70 mm²'",
    ],
    [
      'dotted keys',
      '[conductors]\nmain-negative.size = "70 mm²"\nmain-negative.length = "0.6 m"\nmain-negative.from = "main/-"\nmain-negative.to = "frame/s0"',
      'main-negative.size = "70 mm²"',
    ],
  ])('goes to its own place in a file with %s, and nothing else changes', async (_, cable, place) => {
    const { context, page, complaints } = await person(at.browser);
    const text = written(cable);
    await openText(page, at.program.link, text);
    const id = numberOf(page);
    await drag(page);
    await expect.poll(async () => (await kept(id)).revision, SOON).toBe(2);
    expect((await kept(id)).text).toBe(text.replace(place, place.replace(/['"]70 mm²['"]/, '"400 mm²"')));
    await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await kept(id)).text, SOON).toBe(text);
    expect(complaints).toEqual([]);
    await context.close();
  });

  test('that the file cannot take changes nothing, says why, and leaves what was done before alone', async () => {
    const { context, page } = await person(at.browser);
    const text = written(
      '[conductors.main-negative]\nsize = "70 mm²"\nresistance = "0.3 mΩ"\nlength = "0.6 m"\nfrom = "main/-"\nto = "frame/s0"',
    );
    await openText(page, at.program.link, text);
    const id = numberOf(page);
    await drag(page);
    await page.locator('.trial .bad', { hasText: 'states the resistance of `main-negative`' }).waitFor();
    expect(await kept(id)).toMatchObject({ revision: 1, text });
    expect(await page.locator('.trial').innerText()).toContain('Not kept');
    await context.close();
  });
});
