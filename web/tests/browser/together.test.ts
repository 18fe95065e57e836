/** Two at once: desks that change the same file, and a phone that is heard at the desk. */
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { asked, openExample, person, SOON, toSheet } from './program';
import { stage } from './stage';

const at = stage(['--share=127.0.0.1']);

/** Types a line at the top of the file. */
async function typeInto(page: Page, line: string): Promise<void> {
  await page.locator('.cm-content').click();
  await page.keyboard.press('Control+Home');
  await page.keyboard.type(`${line}\n`);
}

const keep = (page: Page): Promise<void> => page.getByRole('button', { name: 'Keep', exact: true }).click();
const stored = async (): Promise<{ revision: number; text: string }> =>
  (await asked<{ vehicle: { revision: number; text: string } }>(at.program, '/api/vehicles/1')).vehicle;

test('two desks change the file at once: the second sees both texts, and neither is lost', async () => {
  const { context: here, page: first } = await person(at.browser);
  const { context: there, page: second } = await person(at.browser);
  await openExample(first, at.program.link);
  await toSheet(first, 'file');
  await second.goto(at.program.link);
  await second.getByRole('link', { name: /ambulance/i }).click();
  await second.locator('svg[data-zoom]').waitFor();
  await toSheet(second, 'file');
  for (const page of [first, second]) await page.getByText('0 errors, 1 warning').waitFor();
  await typeInto(first, '# written by the first');
  await typeInto(second, '# written by the second');
  await keep(first);
  await first.getByText(/revision 2, kept/).waitFor();
  await second.waitForTimeout(500);
  await keep(second);
  const clash = second.getByRole('alert');
  await clash.getByRole('heading', { name: 'Somebody changed this file meanwhile' }).waitFor();
  const theirs = clash.locator('pre');
  if (!(await theirs.isVisible())) await clash.locator('summary').click();
  expect(await theirs.innerText()).toContain('# written by the first');
  expect(await second.locator('.cm-content').innerText()).toContain('# written by the second');
  expect(await second.locator('.cm-content').innerText()).not.toContain('# written by the first');
  expect(await stored()).toMatchObject({ revision: 2, text: expect.stringContaining('# written by the first') });
  // A decision of a person, and a version of its own: the other text stays in the history.
  await clash.getByRole('button', { name: 'Keep mine over theirs' }).click();
  await second.getByText(/revision 3, kept/).waitFor();
  expect((await stored()).text).toContain('# written by the second');
  await expect.poll(() => first.locator('.cm-content').innerText(), SOON).toContain('# written by the second');
  const { version } = await asked<{ version: { text: string } }>(at.program, '/api/vehicles/1/history/2');
  expect(version.text).toContain('# written by the first');
  await here.close();
  await there.close();
});

test('a reading that the phone takes stands at the desk without a reload, and one taken back is struck out there', async () => {
  const { context: here, page: desk } = await person(at.browser);
  await desk.goto(at.program.link);
  await desk.getByRole('link', { name: /ambulance/i }).click();
  await desk.locator('svg[data-zoom]').waitFor();
  await toSheet(desk, 'hand-on');
  const answer = desk.waitForResponse(/\/api\/pairings$/);
  await desk.getByRole('button', { name: 'Let a phone in' }).click();
  const { link } = (await (await answer).json()) as { link: string };
  await toSheet(desk, 'readings');
  await desk.locator('[data-suspect]').first().waitFor();
  const { context: there, page: phone } = await person(at.browser, { width: 390, height: 844, touch: true });
  await phone.goto(link);
  await phone.locator('.leads dd').first().waitFor();
  let reloaded = false;
  desk.on('framenavigated', () => {
    reloaded = true;
  });
  const list = desk.getByRole('list', { name: 'Readings, the newest first' }).locator('li');
  const before = await list.count();
  await phone.getByRole('textbox', { name: /on the (meter|clamp)/ }).fill('0.0277');
  await phone.keyboard.press('Enter');
  await expect.poll(() => list.count(), SOON).toBe(before + 1);
  expect(await list.first().innerText()).toContain('0.0277');
  await phone.getByRole('button', { name: 'take back' }).first().click();
  await expect.poll(() => list.first().getAttribute('class'), SOON).toContain('retracted');
  expect(reloaded).toBe(false);
  await here.close();
  await there.close();
});
