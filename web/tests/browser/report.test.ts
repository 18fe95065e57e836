import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { atRest, openBrowser, openExample, type Program, person, SOON, startProgram } from './program';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const NASTY = '</script><img src=x onerror=alert(1)>';

let browser: Browser;
let folder: string;
let plain: string;
let nasty: string;

beforeAll(async () => {
  const program: Program = await startProgram();
  browser = await openBrowser();
  folder = mkdtempSync(join(tmpdir(), 'groundloom-report-'));
  const { context, page } = await person(browser);
  await openExample(page, program.link);
  const vehicle = Number(/#\/(\d+)/.exec(page.url())?.[1]);
  await context.close();
  const key = /key=([^&]+)/.exec(program.link)?.[1] ?? '';
  const headers = { Authorization: `Bearer ${key}`, 'Content-Type': 'application/json', Origin: program.origin };
  const report = async (name: string, id: number): Promise<string> => {
    const answer = await fetch(`${program.origin}/api/vehicles/${id}/report`, { headers });
    expect(answer.status).toBe(200);
    const file = join(folder, name);
    writeFileSync(file, await answer.text());
    return file;
  };
  plain = await report('report.html', vehicle);
  const text = await (await fetch(`${program.origin}/api/vehicles/${vehicle}/file`, { headers })).text();
  expect(text).toContain('Rescue ambulance 2, coast station');
  const body = JSON.stringify({ text: text.replaceAll('Rescue ambulance 2, coast station', NASTY) });
  const made = await fetch(`${program.origin}/api/vehicles`, { method: 'POST', headers, body });
  expect(made.status).toBe(201);
  const { vehicle: hostile } = (await made.json()) as { vehicle: { id: number } };
  nasty = await report('nasty.html', hostile.id);
  // The program is gone before any report is opened.
  await program.close();
});
afterAll(async () => {
  await browser.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Opens a file from disk with the network blocked; everything that is asked for is written down. */
async function opened(
  file: string,
  scheme: 'light' | 'dark' = 'light',
): Promise<{ page: Page; asked: string[]; complaints: string[]; close: () => Promise<void> }> {
  const { context, page, complaints } = await person(browser, { scheme });
  await context.setOffline(true);
  const asked: string[] = [];
  page.on('request', (request) => {
    if (!request.url().startsWith('data:') && !request.url().startsWith('blob:')) asked.push(request.url());
  });
  await page.goto(pathToFileURL(file).href);
  await page.locator('[data-label]').first().waitFor();
  return { page, asked, complaints, close: () => context.close() };
}

describe('a report, opened from disk with the network blocked', () => {
  test('asks for nothing but itself and has nothing to complain of', async () => {
    const { page, asked, complaints, close } = await opened(plain);
    await atRest(page);
    expect(asked).toEqual([pathToFileURL(plain).href]);
    expect(complaints).toEqual([]);
    expect(await page.evaluate(() => document.fonts.check('16px Plex', 'mΩ'))).toBe(true);
    await close();
  });

  test('shows plan, states, loop, volts, suspects, jobs and the sheet to measure by', async () => {
    const { page, close } = await opened(plain);
    const row = page.locator('#plan tr[data-load="starter"] td').nth(1);
    expect(await row.innerText()).toMatch(/9\.4\d\u00a0V/);
    await page.locator('#plan').getByRole('radio', { name: 'running' }).check({ force: true });
    await expect.poll(() => page.locator('#plan tr[data-load="starter"]').count(), SOON).toBe(0);
    expect(await page.locator('#readings [data-suspect]').count()).toBeGreaterThan(1);
    expect(await page.locator('#work article').count()).toBeGreaterThan(0);
    expect(await page.locator('#sheet table').count()).toBeGreaterThan(0);
    expect(await page.locator('#volts .bars').count()).toBeGreaterThan(1);
    await close();
  });

  test('a vehicle with a hostile name is a name and nothing else', async () => {
    const { page, complaints, close } = await opened(nasty);
    expect(await page.locator('h1').first().innerText()).toBe(NASTY);
    expect(await page.locator('img').count()).toBe(0);
    expect(complaints).toEqual([]);
    await close();
  });

  test.each(['light', 'dark'] as const)('axe finds nothing, %s', async (scheme) => {
    const { page, close } = await opened(plain, scheme);
    // The page's own policy forbids foreign scripts, so axe is run from outside of it.
    const session = await page.context().newCDPSession(page);
    await session.send('Page.setBypassCSP', { enabled: true });
    await session.send('Runtime.evaluate', { expression: AXE });
    const { result } = await session.send('Runtime.evaluate', {
      expression: `axe.run({ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }).then(({ violations }) => violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => id + ': ' + html.slice(0, 160))))`,
      awaitPromise: true,
      returnByValue: true,
    });
    expect(result.value).toEqual([]);
    await close();
  });

  test('is laid out for the paper when it is printed from a wide screen', async () => {
    const { page, close } = await opened(plain);
    await page.locator('svg.picture').first().waitFor();
    // What stands there at the moment of printing: a listener that comes after the page's own.
    await page.evaluate(() => {
      addEventListener('beforeprint', () => {
        const all = [...document.querySelectorAll<SVGSVGElement>('svg.picture, .strip svg')];
        Object.assign(window, { printed: all.map((own) => own.width.baseVal.value) });
      });
    });
    await page.pdf({ format: 'A4' });
    const printed = await page.evaluate(() => (window as unknown as { printed: number[] }).printed);
    expect(printed.length).toBeGreaterThan(2);
    for (const width of printed) expect(width).toBeLessThanOrEqual(((210 - 26) / 25.4) * 96);
    await close();
  });

  test.each(['A4', 'Letter'] as const)('prints to clean pages of %s', async (format) => {
    const { page, close } = await opened(plain);
    await page.emulateMedia({ media: 'print' });
    const wide = format === 'A4' ? 210 : 215.9;
    // The printable width in CSS pixels; nothing may stand beyond it.
    const room = Math.floor(((wide - 26) / 25.4) * 96);
    await page.setViewportSize({ width: room, height: 1000 });
    await atRest(page);
    const beyond = await page.evaluate((most) => {
      const out: string[] = [];
      for (const own of document.querySelectorAll('main *, footer *')) {
        const box = own.getBoundingClientRect();
        const style = getComputedStyle(own);
        if (box.width === 0 || style.position === 'absolute' || own.closest('svg') !== null) continue;
        if (box.right > most + 1) out.push(`${own.tagName}.${own.className} ${Math.round(box.right)}`);
      }
      return out;
    }, room);
    expect(beyond).toEqual([]);
    const pdf = await page.pdf({ format, printBackground: false });
    if (process.env['GROUNDLOOM_SHOTS'])
      writeFileSync(join(process.env['GROUNDLOOM_SHOTS'], `report-${format}.pdf`), pdf);
    const pages = (pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g) ?? []).length;
    console.info(`${format}: ${pages} pages`);
    expect(pages).toBeGreaterThanOrEqual(4);
    expect(pages).toBeLessThanOrEqual(14);
    expect(
      await page
        .locator('.screen-only')
        .evaluateAll((all) => all.filter((one) => one.getClientRects().length > 0).length),
    ).toBe(0);
    await close();
  });
});
