/**
 * What the page does for what a hand does, counted: requests, layouts, changed elements, bytes, and time of its own thread
 * beside that of other work in the same run. A busy machine changes none of these; how quick they are by the clock is
 * measured by `cargo xtask page-speed`.
 */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { atRest, mainThread, openExample, openText, person } from './program';
import { stage } from './stage';
import { vehicleFile } from './vehicle';

const at = stage();

/** How often the page has laid itself out. */
async function layouts(page: Page): Promise<() => Promise<number>> {
  const session = await page.context().newCDPSession(page);
  await session.send('Performance.enable');
  const done = async (): Promise<number> => {
    const { metrics } = await session.send('Performance.getMetrics');
    return metrics.find(({ name }) => name === 'LayoutCount')?.value ?? Number.NaN;
  };
  const before = await done();
  return async () => (await done()) - before;
}

/** Until two frames have been drawn, however long they take. */
const drawn = (page: Page): Promise<void> =>
  page.evaluate(() => new Promise<void>((done) => requestAnimationFrame(() => requestAnimationFrame(() => done()))));

test('a drag of a slider asks the program for no picture, lays the page out once a frame, and makes nothing anew', async () => {
  const { context, page } = await person(at.browser);
  await openExample(page, at.program.link);
  await page.locator('details summary', { hasText: 'The plan as a table' }).click();
  await page.locator('details table').getByRole('button', { name: 'main-negative', exact: true }).click();
  await page.locator('details summary', { hasText: 'The plan as a table' }).click();
  await page.locator('.joints').getByRole('button', { name: /block/ }).click();
  const box = await page.getByRole('slider', { name: 'try another resistance' }).boundingBox();
  if (!box) throw new Error('the slider has no place');
  const asked: string[] = [];
  page.on('request', (request) => asked.push(new URL(request.url()).pathname));
  const column = page.waitForResponse(/\/api\/column$/);
  await page.mouse.move(box.x + 30, box.y + box.height / 2);
  await page.mouse.down();
  await column;
  await atRest(page);
  asked.length = 0;
  await page.evaluate(() => {
    const seen = { events: 0, added: 0 };
    Object.assign(window, { seen });
    document.querySelector('input[type=range]')?.addEventListener('input', () => {
      seen.events += 1;
    });
    new MutationObserver((all) => {
      for (const one of all) for (const node of one.addedNodes) if (node instanceof Element) seen.added += 1;
    }).observe(document.querySelector('svg.picture') ?? document.body, { subtree: true, childList: true });
  });
  const laidOut = await layouts(page);
  const amps = new Set<string | null>();
  const STEPS = 60;
  for (let i = 0; i < STEPS; i += 1) {
    const along = 30 + ((box.width - 60) * (1 + Math.sin(i / 9))) / 2;
    await page.mouse.move(box.x + along, box.y + box.height / 2);
    await drawn(page);
    amps.add(await page.locator('[data-branch="main-negative"]').getAttribute('data-amps'));
  }
  const layout = await laidOut();
  await page.mouse.up();
  const { events, added } = await page.evaluate(
    () => (window as unknown as { seen: { events: number; added: number } }).seen,
  );
  console.info('a drag', { events, layout, added, pictures: amps.size, asked });
  expect(events).toBeGreaterThan(STEPS / 2);
  // Every place of the hand gives a picture of its own; the program may be asked about where it stays, not for each.
  expect(amps.size).toBeGreaterThan(STEPS / 3);
  expect(asked.length).toBeLessThanOrEqual(3);
  // Two frames a step are awaited, and one layout a frame is what a browser does by itself.
  expect(layout).toBeLessThanOrEqual(2 * STEPS);
  expect(added / events).toBeLessThanOrEqual(1);
  await context.close();
});

test('while a plan with 500 conductors is zoomed it is moved as it is, and drawn anew once', async () => {
  const { context, page } = await person(at.browser);
  await openText(page, at.program.link, vehicleFile(1000));
  await page.locator('input[value="running"]').check({ force: true });
  await page.locator('[data-label]').first().waitFor();
  const conductors = await page.locator('.wire.conductor').count();
  expect(conductors).toBeGreaterThanOrEqual(490);
  await atRest(page);
  const laidOut = await layouts(page);
  const moving = await mainThread(page);
  // All in one task, so that none of the page's delays falls in between, however slow the machine is.
  const { events, moved } = await page.evaluate(async () => {
    const pad = document.querySelector('[role=listbox]');
    const box = pad?.getBoundingClientRect();
    if (!pad || !box) throw new Error('there is no plan');
    let [events, moved] = [0, 0];
    const watch = new MutationObserver((all) => {
      moved += all.length;
    });
    watch.observe(document.body, { subtree: true, childList: true, attributes: true, characterData: true });
    for (; events < 60; events += 1) {
      const place = { clientX: box.x + box.width / 2, clientY: box.y + box.height / 2 };
      pad.dispatchEvent(new WheelEvent('wheel', { deltaY: -12, ...place, bubbles: true, cancelable: true }));
      // What follows an event is done in the microtasks after it.
      for (let i = 0; i < 20; i += 1) await Promise.resolve();
    }
    watch.disconnect();
    return { events, moved };
  });
  const move = (await moving()) / events;
  const layout = await laidOut();
  const redrawing = await mainThread(page);
  const zoom = page.locator('svg.picture');
  await expect.poll(async () => Number(await zoom.getAttribute('data-zoom')) > 1.5, { timeout: 90_000 }).toBe(true);
  await atRest(page);
  const redraw = await redrawing();
  console.info('zoom with 500 conductors', { events, moved, layout, move, redraw });
  // The picture as a whole and what stands beside it; the conductors and their names stay as they are.
  expect(moved / events).toBeLessThan(conductors / 10);
  expect(moved).toBeGreaterThanOrEqual(events / 2);
  expect(layout / events).toBeLessThanOrEqual(2);
  // Both are time of the same thread in the same run.
  expect(move).toBeLessThan(redraw / 4);
  await context.close();
});

test('the first page needs a dozen files of its own, and what all can load is at most 400 kB compressed', async () => {
  const { context, page } = await person(at.browser);
  const asked: string[] = [];
  page.on('request', (request) => asked.push(request.url()));
  await page.goto(at.program.link);
  await page.getByRole('heading', { name: 'Open a file' }).waitFor();
  await atRest(page);
  console.info('the first page asks for', asked.length);
  expect(asked.filter((url) => new URL(url).origin !== at.program.origin)).toEqual([]);
  expect(asked.length).toBeLessThanOrEqual(14);
  const dist = fileURLToPath(new URL('../../dist/assets/', import.meta.url));
  const sizes = readdirSync(dist).map((name) => {
    const bytes = readFileSync(`${dist}${name}`);
    return { name, kB: (name.endsWith('.woff2') ? bytes.length : gzipSync(bytes, { level: 9 }).length) / 1000 };
  });
  const all = sizes.reduce((sum, { kB }) => sum + kB, 0);
  console.info('compressed, kB', all);
  expect(statSync(dist).isDirectory()).toBe(true);
  expect(all).toBeLessThanOrEqual(400);
  await context.close();
});
