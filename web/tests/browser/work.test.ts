import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { describe, expect, test } from 'vitest';
import { openExample, openText, person, SOON, startProgram, toSheet } from './program';
import { stage } from './stage';
import { vehicleFile } from './vehicle';

const at = stage();
const TOO_SMALL = fileURLToPath(
  new URL('../../../crates/cli/tests/cases/answers/repairs-made-too-small/cart.toml', import.meta.url),
);

/** Takes a reading of volts by the lists, as a person does who wants a reading of his own. */
async function measure(page: Page, state: string, red: string, black: string, typed: string): Promise<void> {
  await toSheet(page, 'readings');
  const more = page.locator('details', { hasText: 'Another reading, or what is complained of' });
  if (!(await more.evaluate((own) => (own as HTMLDetailsElement).open))) await more.locator('summary').click();
  await page.getByLabel('state', { exact: true }).selectOption(state);
  await page.getByLabel('red on', { exact: true }).selectOption(red);
  await page.getByLabel('black on', { exact: true }).selectOption(black);
  await page.getByRole('button', { name: 'Measure this' }).click();
  await page.getByRole('textbox', { name: /on the meter/ }).fill(typed);
  const kept = page.waitForResponse((own) => own.request().method() === 'PUT' && own.url().includes('/readings/'));
  await page.getByRole('button', { name: 'Keep', exact: true }).click();
  await kept;
}

describe('the job done', () => {
  test('proves itself by the same reading taken again, and what was read before accuses nobody any more', async () => {
    const { context, page, complaints } = await person(at.browser);
    await openExample(page, at.program.link);
    await measure(page, 'cranking', 'block/front', 'main/-', '428 mV');
    await page.locator('tr[data-suspect^="main-negative"]').first().waitFor();
    await toSheet(page, 'work');
    await page.locator('article.job').waitFor();
    await page.getByPlaceholder('what was found').fill('green under the sleeve');
    await page.getByRole('button', { name: 'It is done' }).click();
    await page.getByText('No proof yet').waitFor();
    await toSheet(page, 'readings');
    await page.getByText('No readings since the last work').waitFor();
    expect(await page.locator('[data-suspect]').count()).toBe(0);
    await measure(page, 'cranking', 'block/front', 'main/-', '181 mV');
    await expect.poll(() => page.locator('tr.nothing .number').first().innerText(), SOON).toMatch(/\d/);
    await page.getByText('from before the last work, kept and no longer weighed').click();
    expect(await page.locator('.earlier').innerText()).toContain('428 mV');
    await toSheet(page, 'work');
    const proof = page.locator('[data-work] table');
    await proof.waitFor();
    expect((await proof.innerText()).replaceAll('\u00a0', ' ')).toMatch(/428 mV[\s\S]*181 mV[\s\S]*247 mV less/);
    // Work that is taken back was never done: the readings count again, and it can be put back.
    await page.locator('[data-work]').getByRole('button', { name: 'take back' }).click();
    await page.locator('[data-work]').getByRole('button', { name: 'put it back' }).waitFor();
    await toSheet(page, 'readings');
    await page.locator('tr[data-suspect^="main-negative"]').first().waitFor();
    expect(complaints).toEqual([]);
    await context.close();
  });

  test('is taken back by Ctrl+Z like a reading and a change of the file, each in its turn, and done again', async () => {
    const { context, page, complaints } = await person(at.browser);
    await openExample(page, at.program.link);
    await measure(page, 'cranking', 'block/front', 'main/-', '428 mV');
    await page.locator('.entries li', { hasText: '428 mV' }).waitFor();
    await toSheet(page, 'work');
    await page.locator('article.job').waitFor();
    await page.getByRole('button', { name: 'It is done' }).click();
    await page.locator('[data-work]').waitFor();
    await page
      .locator('h1')
      .first()
      .evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
    await page.keyboard.press('Control+z');
    await page.getByText(/^Taken back: Clean and tighten/).waitFor();
    await page.locator('[data-work].retracted').waitFor();
    await page.keyboard.press('Control+z');
    await page.getByText(/^Taken back: cranking: block\/front to main\/- 428 mV/).waitFor();
    await toSheet(page, 'readings');
    await page.locator('.entries li.retracted', { hasText: '428 mV' }).waitFor();
    // There is nothing more to take back, and the file is not touched from here.
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+Shift+z');
    await page.getByText(/^Done again: cranking/).waitFor();
    await page.locator('.entries li:not(.retracted)', { hasText: '428 mV' }).waitFor();
    await toSheet(page, 'file');
    await page.getByText('revision 1, kept').waitFor();
    expect(complaints).toEqual([]);
    await context.close();
  });

  test('that adds a cable says whether the cable would burn when something else fails', async () => {
    const { context, page } = await person(at.browser);
    // A vehicle whose own cables are too thin: on others no cable is worth adding.
    await openText(page, at.program.link, readFileSync(TOO_SMALL, 'utf8'));
    await toSheet(page, 'work');
    await page.locator('article.job').waitFor();
    expect(await page.locator('.judged').count()).toBe(0);
    await page
      .getByRole('button', { name: /^Add .* from main/ })
      .first()
      .click();
    await page.locator('.judged').getByText('No single thing that fails elsewhere burns it').waitFor();
    await page
      .locator('.judged [data-judged]')
      .filter({ hasText: /would carry.*could carry/s })
      .waitFor();
    await context.close();
  });

  test('stands in the history of its joint on the plan', async () => {
    const { context, page } = await person(at.browser);
    await openExample(page, at.program.link);
    await toSheet(page, 'work');
    await page.locator('article.job').waitFor();
    const what = await page.locator('article.job h2').innerText();
    await page.getByRole('button', { name: 'It is done' }).click();
    await page.locator('[data-work]').waitFor();
    await page.getByRole('button', { name: 'show it on the plan' }).click();
    await page.getByRole('region', { name: 'History' }).waitFor();
    expect(await page.getByRole('region', { name: 'History' }).innerText()).toContain(what);
    await context.close();
  });
});

describe('answers', () => {
  test('that were kept say what they were, when, by which program, on which text', async () => {
    const { context, page } = await person(at.browser);
    await openExample(page, at.program.link);
    for (const [sheet, sign] of [
      ['readings', '[data-suspect]'],
      ['work', 'article.job'],
      ['failures', '[data-failure]'],
    ] as const) {
      await toSheet(page, sheet);
      await page.locator(sign).first().waitFor();
      const kept = page.waitForResponse(/\/results$/);
      await page.getByRole('button', { name: 'Keep this answer' }).click();
      expect((await kept).status()).toBe(201);
      await page.getByText('it stands under Hand on').waitFor();
    }
    await toSheet(page, 'hand-on');
    await page.locator('[data-kept]').first().waitFor();
    expect(await page.locator('[data-kept]').count()).toBe(3);
    expect(await page.locator('[data-kept=diagnose]').innerText()).toMatch(
      /main-negative[\s\S]*groundloom \d+\.\d+\.\d+, revision \d+/,
    );
    const saved = page.waitForEvent('download');
    await page.locator('[data-kept=failures]').getByRole('button', { name: 'save as JSON' }).click();
    expect((await saved).suggestedFilename()).toMatch(/^failures-\d{4}-\d\d-\d\d\.json$/);
    await context.close();
  });

  test('say why: the stretch, the current, the joint that another reading clears, and what is taught', async () => {
    const { context, page } = await person(at.browser);
    await openExample(page, at.program.link);
    await toSheet(page, 'readings');
    await page.locator('[data-suspect]').first().waitFor();
    await page.getByText('Why: the readings one by one').click();
    const why = (await page.locator('section.meaning details').first().innerText()).replaceAll('\u00a0', ' ');
    expect(why).toMatch(/428 mV are lost while cranking \(reading 3\)/);
    expect(why).toMatch(/Were it main-negative at main.* instead, reading 8/);
    expect(why).toMatch(/no law/);
    expect(why).toMatch(/the lug of main-negative at block/);
    await context.close();
  });

  test('that take long show how far they are, can be stopped for good, and begun again', async () => {
    const { context, page } = await person(at.browser);
    await openText(page, at.program.link, vehicleFile(1600));
    let job = '';
    page.on('response', (response) => {
      const found = /\/api\/jobs\/\d+$/.exec(response.url())?.[0];
      if (found) job = found;
    });
    await toSheet(page, 'failures');
    const bar = page.getByRole('progressbar', { name: /Opening one joint/ });
    await bar.waitFor();
    await expect.poll(() => bar.getAttribute('value'), SOON).toMatch(/^0\.\d+$/);
    const stopped = page.waitForResponse((own) => own.request().method() === 'DELETE' && own.url().endsWith(job));
    await page.getByRole('button', { name: 'stop', exact: true }).click();
    expect(((await (await stopped).json()) as { job: { status: string } }).job.status).toBe('cancelled');
    await page.getByText('Stopped.').waitFor();
    await page.getByRole('button', { name: 'begin again' }).click();
    await bar.waitFor();
    // Leaving the sheet stops it too.
    const left = page.waitForRequest((own) => own.method() === 'DELETE' && own.url().endsWith(job));
    await toSheet(page, 'file');
    await left;
    await context.close();
  });
});

test('a vehicle that is put away comes back whole', async () => {
  const own = await startProgram();
  const { context, page } = await person(at.browser);
  await openExample(page, own.link);
  const name = await page.locator('header .vehicle').innerText();
  await page.getByRole('link', { name: /all vehicles/ }).click();
  await page.locator('.vehicles li', { hasText: name }).getByRole('button', { name: 'put away' }).click();
  await page.getByText('1 put away').click();
  expect(await page.getByRole('link', { name }).count()).toBe(0);
  await page.locator('.vehicles li', { hasText: name }).getByRole('button', { name: 'bring it back' }).click();
  await page.getByRole('link', { name }).click();
  await page.locator('svg[data-zoom]').waitFor();
  await context.close();
  await own.close();
});

test('a photograph of a joint, taken on the plan’s card, is there again, goes into the report, and is taken back', async () => {
  const { context, page } = await person(at.browser, { width: 390, height: 844, touch: true });
  await openExample(page, at.program.link);
  await page.locator('details summary', { hasText: 'The plan as a table' }).click();
  await page.locator('details table').getByRole('button', { name: 'main-negative', exact: true }).click();
  await page.locator('.joints').getByRole('button', { name: /block/ }).click();
  await page.locator('[data-card="main-negative.to"]').waitFor();
  const input = page.locator('.photos input[type=file]');
  expect(await input.getAttribute('capture')).toBe('environment');
  const image = await page.screenshot();
  await input.setInputFiles({ name: 'lug.png', mimeType: 'image/png', buffer: image });
  await page.locator('.photos img').waitFor();
  expect(await page.locator('.photos img').evaluate((own) => (own as HTMLImageElement).naturalWidth)).toBeGreaterThan(
    100,
  );
  await toSheet(page, 'hand-on');
  const report = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Make the report' }).click();
  expect(readFileSync(await (await report).path(), 'utf8')).toContain('"data":"data:image/');
  await toSheet(page, 'plan');
  await page.locator('.photos').getByRole('button', { name: 'take back' }).click();
  await page.getByText('was taken back').waitFor();
  expect(await page.locator('.photos img').count()).toBe(0);
  await page.locator('.photos').getByRole('button', { name: 'put it back' }).click();
  await page.locator('.photos img').waitFor();
  await input.setInputFiles({ name: 'no.png', mimeType: 'image/png', buffer: Buffer.from('not a picture') });
  await page.getByText('is no photograph that this browser can read').waitFor();
  await context.close();
});

test('a vehicle comes in by the first door with its readings, and readings alone are told where they belong', async () => {
  const { context, page } = await person(at.browser);
  await page.goto(at.program.link);
  const door = page.locator('.door input[type=file]');
  await door.waitFor({ state: 'attached' });
  const file = (name: string): string => fileURLToPath(new URL(`../../../examples/${name}`, import.meta.url));
  await door.setInputFiles(file('rescue-ambulance.readings.toml'));
  await page.getByText('open their vehicle first').waitFor();
  await door.setInputFiles([file('rescue-ambulance.readings.toml'), file('rescue-ambulance.toml')]);
  await page.locator('svg[data-zoom]').waitFor();
  await toSheet(page, 'readings');
  await page.locator('tr[data-suspect^="main-negative"]').first().waitFor();
  // And goes out again as it came.
  await toSheet(page, 'hand-on');
  for (const [button, name] of [
    ['Save the vehicle file', 'rescue-ambulance.toml'],
    ['Save the readings', 'rescue-ambulance.readings.toml'],
  ] as const) {
    const saved = page.waitForEvent('download');
    await page.getByRole('button', { name: button }).click();
    expect(readFileSync(await (await saved).path()).equals(readFileSync(file(name)))).toBe(true);
  }
  await context.close();
});

test('a file of readings is brought in, weighed, and taken back', async () => {
  const { context, page } = await person(at.browser);
  await page.goto(at.program.link);
  await page.getByRole('button', { name: 'front engine' }).click();
  await page.locator('svg[data-zoom]').waitFor();
  await toSheet(page, 'readings');
  await page.getByText('No readings yet').waitFor();
  await page.getByText('Another reading, or what is complained of').click();
  await page.locator('.measure input[type=file]').setInputFiles({
    name: 'wet.txt',
    mimeType: 'text/plain',
    buffer: Buffer.from('cranking: block/front to main/- 0.9 V\n'),
  });
  await page.locator('[data-suspect]').first().waitFor();
  await page.getByText('wet.txt: 1 reading').waitFor();
  await page.getByRole('button', { name: 'take back' }).click();
  await page.getByText('No readings yet').waitFor();
  await context.close();
});
