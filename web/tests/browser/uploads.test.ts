/** What is too large is refused before it does harm. */
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import {
  asked,
  holdings,
  openBrowser,
  openExample,
  type Program,
  person,
  SOON,
  startProgram,
  toSheet,
} from './program';

let program: Program;
let browser: Browser;

beforeAll(async () => {
  program = await startProgram();
  browser = await openBrowser();
  const { context, page } = await person(browser);
  await openExample(page, program.link);
  await context.close();
});
afterEach(() => Promise.all(browser.contexts().map((context) => context.close())));
afterAll(async () => {
  await browser.close();
  await program.close();
});

describe('what is too large', () => {
  const MEBI = 1 << 20;

  async function context(): Promise<{ context: BrowserContext; page: Page }> {
    const one = await person(browser);
    await openExample(one.page, program.link);
    return one;
  }

  test('a vehicle file above 2 MiB is refused at the door in words, and what was there stays', async () => {
    const { page } = await person(browser);
    const before = await holdings(program);
    await page.goto(program.link);
    await page.getByRole('heading', { name: 'Open a file' }).waitFor();
    const door = page.locator('input[type=file]');
    const file = (bytes: number) => ({
      name: 'large.toml',
      mimeType: 'text/plain',
      buffer: Buffer.from(`format = 1\n${'# filling\n'.repeat(bytes / 10)}`),
    });
    await door.setInputFiles(file(2 * MEBI + 10));
    await expect
      .poll(() => page.getByRole('alert').innerText(), SOON)
      .toMatch(/large\.toml is too large[\s\S]*2\u00a0MiB is the most/);
    expect(await page.getByRole('link', { name: /ambulance/i }).count()).toBeGreaterThan(0);
    expect(await holdings(program)).toBe(before);
    // Far above what any request may be.
    await door.setInputFiles(file(8 * MEBI));
    await expect
      .poll(() => page.getByRole('alert').innerText(), SOON)
      .toMatch(/large\.toml is too large[\s\S]*2\u00a0MiB is the most/);
    expect(await holdings(program)).toBe(before);
  });

  test.each([2 * MEBI + 1, 7 * MEBI])('a text of %d bytes is refused by the program itself', async (bytes) => {
    const { page } = await person(browser, { asServed: true });
    await page.goto(`${program.origin}/favicon.svg`);
    const before = await holdings(program);
    const got = await page.evaluate(
      async ([key, bytes]) => {
        const headers = { Authorization: `Bearer ${key}`, 'Content-Type': 'application/json' };
        const body = JSON.stringify({ text: 'x'.repeat(bytes) });
        const answer = await fetch('/api/vehicles', { method: 'POST', headers, body });
        return `${answer.status} ${await answer.text()}`;
      },
      [program.key, bytes] as const,
    );
    expect(got).toMatch(/^413 .*too large/);
    expect(await holdings(program)).toBe(before);
  });

  test('a photograph above 12 MiB is refused by the program, and nothing of it is stored', async () => {
    const { page } = await context();
    const before = await holdings(program);
    const direct = await page.evaluate(
      async ([key, bytes]) => {
        const picture = new Uint8Array(bytes);
        picture.set([0xff, 0xd8, 0xff, 0xe0, 0, 16, 0x4a, 0x46, 0x49, 0x46, 0]);
        const answer = await fetch('/api/vehicles/1/photos/abcdefabcdefabcdefabcdef?on=main-negative', {
          method: 'PUT',
          headers: { Authorization: `Bearer ${key}`, 'Content-Type': 'image/jpeg' },
          body: picture,
        });
        return { status: answer.status, body: await answer.text() };
      },
      [program.key, 12 * MEBI + 1] as const,
    );
    expect(direct.status).toBe(413);
    expect(direct.body).toContain('too large');
    expect(await holdings(program)).toBe(before);
  });

  /** The input for photographs of a joint, as a person comes to it. */
  async function photoInput(page: Page) {
    await page.locator('details summary', { hasText: 'The plan as a table' }).click();
    await page.locator('details table').getByRole('button', { name: 'main-negative', exact: true }).click();
    return page.locator('.photos input[type=file]');
  }

  test('a photograph of more than 12 MiB is made small by the page before it is sent', async () => {
    const { page } = await context();
    const input = await photoInput(page);
    // Noise cannot be made small without loss: 2400 × 2400 pixels of it are more than 12 MiB.
    const png = await page.evaluate(async () => {
      const canvas = new OffscreenCanvas(2400, 2400);
      const drawing = canvas.getContext('2d');
      const noise = new ImageData(2400, 2400);
      for (let at = 0; at < noise.data.length; at += 65_536)
        crypto.getRandomValues(noise.data.subarray(at, at + 65_536));
      for (let at = 3; at < noise.data.length; at += 4) noise.data[at] = 255;
      drawing?.putImageData(noise, 0, 0);
      const bytes = new Uint8Array(await (await canvas.convertToBlob()).arrayBuffer());
      let text = '';
      for (let at = 0; at < bytes.length; at += 32_768) text += String.fromCharCode(...bytes.subarray(at, at + 32_768));
      return btoa(text);
    });
    const buffer = Buffer.from(png, 'base64');
    expect(buffer.length).toBeGreaterThan(12 * MEBI);
    await input.setInputFiles({ name: 'noise.png', mimeType: 'image/png', buffer });
    const vehicle = Number(/#\/(\d+)\//.exec(page.url())?.[1]);
    const photos = async () =>
      (await asked<{ photos: { type: string; bytes: number }[] }>(program, `/api/vehicles/${vehicle}/photos`)).photos;
    await expect.poll(async () => (await photos()).length, SOON).toBe(1);
    const [photo] = await photos();
    expect(photo?.type).toBe('image/jpeg');
    expect(photo?.bytes).toBeLessThan(6 * MEBI);
    await page.locator('.photos figure img').waitFor();
  });

  test('what is no photograph, and one that stays too large, are told in words, and nothing is stored', async () => {
    const { page } = await context();
    const before = await holdings(program);
    const input = await photoInput(page);
    await input.setInputFiles({ name: 'notes.jpg', mimeType: 'image/jpeg', buffer: Buffer.alloc(13 * MEBI, 'a') });
    await expect.poll(() => page.locator('.photos .bad').innerText(), SOON).toMatch(/notes\.jpg is no photograph/);
    expect(await holdings(program)).toBe(before);
    // A browser that makes nothing smaller: the program refuses, and the list says why.
    await page.evaluate((bytes) => {
      HTMLCanvasElement.prototype.toBlob = (done) => done(new Blob([new Uint8Array(bytes)], { type: 'image/jpeg' }));
    }, 13 * MEBI);
    const pixel = 'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==';
    await input.setInputFiles({ name: 'dot.png', mimeType: 'image/png', buffer: Buffer.from(pixel, 'base64') });
    await toSheet(page, 'readings');
    await expect
      .poll(() => page.locator('.entries li.waiting').allInnerTexts(), SOON)
      .toEqual([expect.stringMatching(/photograph of main-negative[\s\S]*not accepted[\s\S]*too large/)]);
    expect(await holdings(program)).toBe(before);
  });
});
