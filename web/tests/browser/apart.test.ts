/** Two vehicles in one garage: what is seen and typed of one never becomes the other's. */
import type { Page } from 'playwright-core';
import { beforeEach, describe, expect, test } from 'vitest';
import { asked, person, SOON } from './program';
import { stage } from './stage';
import { vehicleFile } from './vehicle';

const at = stage();

async function made(name: string): Promise<{ id: number; text: string }> {
  const text = vehicleFile(30).replace(/name = "Made up[^"]*"/, `name = "${name}"`);
  const answer = await fetch(`${at.program.origin}/api/vehicles`, {
    method: 'POST',
    headers: {
      Authorization: `Bearer ${at.program.key}`,
      'Content-Type': 'application/json',
      Origin: at.program.origin,
    },
    body: JSON.stringify({ text }),
  });
  const { vehicle } = (await answer.json()) as { vehicle: { id: number; revision: number } };
  expect(vehicle.revision).toBe(1);
  return { id: vehicle.id, text };
}

const kept = async (id: number): Promise<{ name: string; revision: number; text: string }> =>
  (await asked<{ vehicle: { name: string; revision: number; text: string } }>(at.program, `/api/vehicles/${id}`))
    .vehicle;

async function go(page: Page, hash: string): Promise<void> {
  await page.evaluate((to) => {
    location.hash = to;
  }, hash);
}

/** The text in the editor, from its beginning as far as it is shown. */
const shown = (page: Page): Promise<string> => page.locator('.cm-content').innerText();

async function append(page: Page, text: string): Promise<void> {
  await page.locator('.cm-content').click();
  await page.keyboard.press('Control+End');
  await page.keyboard.type(text);
}

describe('two vehicles at the same revision', () => {
  let boat = { id: 0, text: '' };
  let plant = { id: 0, text: '' };
  beforeEach(async () => {
    boat = await made('The boat');
    plant = await made('The plant');
  });

  test('from the plan of one to the file of the other: what is kept is the other’s own', async () => {
    const { context, page, complaints } = await person(at.browser);
    await page.goto(at.program.link);
    await page.getByRole('heading', { name: 'Open a file' }).waitFor();
    await go(page, `#/${boat.id}/file`);
    await expect.poll(() => shown(page), SOON).toContain('The boat');
    await go(page, `#/${plant.id}/file`);
    await page.locator('header .vehicle', { hasText: 'The plant' }).waitFor();
    await expect.poll(() => shown(page), SOON).toContain('The plant');
    await append(page, '# mine');
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
    await page.getByText('revision 2, kept').waitFor();
    expect(await kept(plant.id)).toMatchObject({ name: 'The plant', revision: 2, text: `${plant.text}# mine` });
    expect(await kept(boat.id)).toMatchObject({ name: 'The boat', revision: 1, text: boat.text });
    expect(complaints).toEqual([]);
    await context.close();
  });

  test('the same by the plan, and there and back: each has its own text', async () => {
    const { context, page } = await person(at.browser);
    await page.goto(at.program.link);
    await page.getByRole('heading', { name: 'Open a file' }).waitFor();
    await go(page, `#/${boat.id}/plan`);
    await page.locator('header .vehicle', { hasText: 'The boat' }).waitFor();
    await go(page, `#/${plant.id}/file`);
    await expect.poll(() => shown(page), SOON).toContain('The plant');
    await page.goBack();
    await page.locator('header .vehicle', { hasText: 'The boat' }).waitFor();
    await go(page, `#/${boat.id}/file`);
    await expect.poll(() => shown(page), SOON).toContain('The boat');
    await context.close();
  });

  test('what was typed and not kept waits for its own vehicle', async () => {
    const { context, page } = await person(at.browser);
    await page.goto(at.program.link);
    await page.getByRole('heading', { name: 'Open a file' }).waitFor();
    await go(page, `#/${boat.id}/file`);
    await expect.poll(() => shown(page), SOON).toContain('The boat');
    await append(page, '# half a thought');
    await page.getByText('not kept yet').waitFor();
    await go(page, `#/${plant.id}/file`);
    await expect.poll(() => shown(page), SOON).toContain('The plant');
    await page.getByText('revision 1, kept').waitFor();
    await go(page, `#/${boat.id}/file`);
    await page.getByText('not kept yet').waitFor();
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
    await page.getByText('revision 2, kept').waitFor();
    expect((await kept(boat.id)).text).toBe(`${boat.text}# half a thought`);
    expect(await kept(plant.id)).toMatchObject({ revision: 1, text: plant.text });
    await context.close();
  });

  test('a slow answer of the first vehicle does not take the place of the second', async () => {
    const { context, page } = await person(at.browser);
    await page.goto(at.program.link);
    await page.getByRole('heading', { name: 'Open a file' }).waitFor();
    await page.route(`**/api/vehicles/${boat.id}`, async (route) => {
      const answer = await route.fetch();
      await new Promise((done) => setTimeout(done, 1500));
      await route.fulfill({ response: answer });
    });
    await go(page, `#/${boat.id}/file`);
    await page.getByText('Opening…').waitFor();
    const late = page.waitForResponse((answer) => answer.url().endsWith(`/api/vehicles/${boat.id}`));
    await go(page, `#/${plant.id}/file`);
    await expect.poll(() => shown(page), SOON).toContain('The plant');
    await late;
    await page.waitForTimeout(300);
    expect(await shown(page)).toContain('The plant');
    expect(await page.locator('header .vehicle').innerText()).toBe('The plant');
    await context.close();
  });
});
