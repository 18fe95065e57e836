/** Who is let in with a phone, and who is not: the program shared, as a phone in the network sees it. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
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
  browser = await openBrowser();
});
afterAll(() => browser.close());
beforeEach(async () => {
  program = await startProgram(['--share=127.0.0.1']);
});
afterEach(async () => {
  await Promise.all(browser.contexts().map((context) => context.close()));
  await program.close();
});

const PHONE = { width: 390, height: 844, touch: true } as const;

interface Code {
  readonly link: string;
  readonly spoken: string;
}

/** The desk with the example open at the sheet where phones are let in. */
async function desk(): Promise<Page> {
  const { page } = await person(browser);
  await openExample(page, program.link);
  await toSheet(page, 'hand-on');
  await page.getByRole('button', { name: 'Let a phone in' }).waitFor();
  return page;
}

/** Lets a phone in at the desk, by its button; gives what the desk then shows. */
async function codeFrom(page: Page): Promise<Code> {
  const answer = page.waitForResponse(/\/api\/pairings$/);
  await page.getByRole('button', { name: 'Let a phone in' }).click();
  const { link, spoken } = (await (await answer).json()) as Code;
  await expect.poll(() => page.locator('.phones .code').innerText(), SOON).toBe(spoken);
  return { link, spoken };
}

async function paired(link: string): Promise<Page> {
  const { page } = await person(browser, PHONE);
  await page.goto(link);
  await page.locator('.leads dd').first().waitFor();
  return page;
}

const door = (page: Page) => page.getByRole('heading', { name: 'Let this phone in' });
const letters = (page: Page) => page.getByRole('textbox', { name: 'letters from the desk' });

/** Asks the program from within a page, with the phone's own key unless another is named. */
function ask(page: Page, method: string, path: string, body?: unknown, key?: string): Promise<number> {
  return page.evaluate(
    async ([method, path, body, key]) => {
      const own = key ?? localStorage.getItem('groundloom.phone-key') ?? '';
      const headers = { Authorization: `Bearer ${own}`, 'Content-Type': 'application/json' };
      return (await fetch(path, { method, headers, body: body === undefined ? null : JSON.stringify(body) })).status;
    },
    [method, path, body, key] as const,
  );
}

describe('a code', () => {
  test('lets one phone in, once: whoever comes second with it sees why, what to do, and nothing of the garage', async () => {
    const { link, spoken } = await codeFrom(await desk());
    const first = await paired(link);
    expect(await first.locator('header').innerText()).toContain('ambulance');
    const { page: second } = await person(browser, PHONE);
    await second.goto(link);
    await door(second).waitFor();
    await expect
      .poll(() => second.getByRole('alert').innerText(), SOON)
      .toMatch(/used already[\s\S]*new code at the desk/);
    expect(second.url()).not.toContain('pair=');
    await letters(second).fill(spoken);
    await second.getByRole('button', { name: 'Come in' }).click();
    await second.getByRole('button', { name: 'Come in', disabled: false }).waitFor();
    expect(await second.getByRole('alert').innerText()).toContain('used already');
    expect(await letters(second).inputValue()).toBe(spoken);
    expect(await second.locator('body').innerText()).not.toMatch(/ambulance/i);
    expect(await ask(second, 'GET', '/api/vehicles')).toBe(401);
    // The first, which opens its old link again, stays in.
    await first.goto('about:blank');
    await first.goto(link);
    await first.locator('.leads dd').first().waitFor();
  });

  test('that is wrong is refused in words, stays in the field, and is taken once it is put right', async () => {
    const { spoken } = await codeFrom(await desk());
    const { page } = await person(browser, PHONE);
    await page.goto(`${program.origin}/p`);
    await door(page).waitFor();
    const wrong = spoken.startsWith('BCDF') ? 'GHKM BCDF' : 'BCDF GHKM';
    await letters(page).fill(wrong);
    await page.keyboard.press('Enter');
    await expect
      .poll(() => page.getByRole('alert').innerText(), SOON)
      .toMatch(/code is wrong[\s\S]*new code at the desk/);
    expect(await letters(page).inputValue()).toBe(wrong);
    expect(await letters(page).getAttribute('aria-invalid')).toBe('true');
    await letters(page).fill(spoken.toLowerCase());
    await page.keyboard.press('Enter');
    await page.locator('.leads dd').first().waitFor();
  });

  test('cannot be guessed at: the sixth within a minute is told to wait, the right one too', async () => {
    const { spoken } = await codeFrom(await desk());
    const { page } = await person(browser, PHONE);
    await page.goto(`${program.origin}/p`);
    for (let i = 0; i < 5; i += 1) {
      const answer = page.waitForResponse(/\/api\/pair$/);
      await letters(page).fill(`BCDFGH${i}${i}`);
      await page.keyboard.press('Enter');
      expect((await answer).status()).toBe(403);
    }
    await letters(page).fill(spoken);
    await page.keyboard.press('Enter');
    await expect.poll(() => page.getByRole('alert').innerText(), SOON).toMatch(/Wait a minute/);
    expect(await letters(page).inputValue()).toBe(spoken);
  });
});

test('a phone that the desk forgets is sent to the door, and what it had not sent arrives once when it is let in again', async () => {
  const at = await desk();
  const phone = await paired((await codeFrom(at)).link);
  const before = await asked<{ readings: unknown[] }>(program, '/api/vehicles/1/readings');
  await phone.context().setOffline(true);
  const field = phone.getByRole('textbox', { name: /on the (meter|clamp)/ });
  await field.fill('0.027');
  await phone.keyboard.press('Enter');
  await phone.locator('.entries li.waiting').waitFor();
  // The desk was told that somebody came in, and the code, used up, is gone from its screen.
  expect(await at.getByRole('status').filter({ hasText: 'let in' }).innerText()).toContain('A phone was let in');
  expect(await at.locator('.phones .code').count()).toBe(0);
  await at.getByRole('button', { name: /^forget it/ }).click();
  await at.getByRole('button', { name: /^forget it/ }).waitFor({ state: 'detached' });
  await phone.context().setOffline(false);
  await door(phone).waitFor();
  // What is kept is counted while the door already stands there.
  const told = (): Promise<string> => phone.getByRole('alert').innerText();
  await expect.poll(told, SOON).toMatch(/took this phone’s key away[\s\S]*1 entry is kept here/);
  expect(await phone.locator('body').innerText()).not.toMatch(/ambulance/i);
  // Not by reloading either, and what waits is still there.
  await phone.reload();
  await door(phone).waitFor();
  await expect.poll(() => phone.getByRole('alert').innerText(), SOON).toMatch(/1 entry is kept here/);
  expect(await asked(program, '/api/vehicles/1/readings')).toEqual(before);
  await letters(phone).fill((await codeFrom(at)).spoken);
  await phone.keyboard.press('Enter');
  const stored = async (): Promise<number> =>
    (await asked<{ readings: unknown[] }>(program, '/api/vehicles/1/readings')).readings.length;
  await expect.poll(stored, SOON).toBe(before.readings.length + 1);
  await expect.poll(() => phone.locator('.entries li.waiting').count(), SOON).toBe(0);
  await phone.waitForTimeout(4500);
  expect(await stored()).toBe(before.readings.length + 1);
});

describe('a key', () => {
  const file = { text: 'format = 1\n', revision: 1, what: 'not allowed' };

  test('for readings takes a reading, and neither changes the file nor lets others in', async () => {
    const at = await desk();
    const phone = await paired((await codeFrom(at)).link);
    const before = await holdings(program);
    expect(await ask(phone, 'PUT', '/api/vehicles/1', file)).toBe(403);
    expect(await ask(phone, 'POST', '/api/vehicles', { text: 'format = 1\n' })).toBe(403);
    expect(await ask(phone, 'DELETE', '/api/vehicles/1')).toBe(403);
    expect(await ask(phone, 'POST', '/api/pairings', { role: 'edit' })).toBe(403);
    expect(await ask(phone, 'GET', '/api/devices')).toBe(403);
    expect(await holdings(program)).toBe(before);
    const reading = { text: 'resting: 12.6 V at main/+, main/-', taken: '2024-05-01T10:00:00Z' };
    expect(await ask(phone, 'PUT', '/api/vehicles/1/readings/abcdefabcdefabcdefabcdef', reading)).toBe(201);
    expect(await holdings(program)).not.toBe(before);
  });

  test('for looking takes no reading: the phone says so beside it and keeps it', async () => {
    await desk();
    const made = await fetch(`${program.origin}/api/pairings`, {
      method: 'POST',
      headers: { Authorization: `Bearer ${program.key}`, 'Content-Type': 'application/json', Origin: program.origin },
      body: JSON.stringify({ role: 'look' }),
    });
    const phone = await paired(((await made.json()) as Code).link);
    const before = await holdings(program);
    expect(await ask(phone, 'PUT', '/api/vehicles/1', file)).toBe(403);
    await phone.getByRole('textbox', { name: /on the (meter|clamp)/ }).fill('0.027');
    await phone.keyboard.press('Enter');
    const kept = phone.locator('.entries li.waiting');
    await expect.poll(() => kept.innerText(), SOON).toMatch(/not accepted: a key that may `look`/);
    expect(await holdings(program)).toBe(before);
  });

  test('of a phone opens no desk: it sees vehicles there, and neither writes a file nor sees who else is let in', async () => {
    const at = await desk();
    const phone = await paired((await codeFrom(at)).link);
    const key = await phone.evaluate(() => localStorage.getItem('groundloom.phone-key') ?? '');
    const { page } = await person(browser);
    await page.goto(`${program.origin}/#key=${key}`);
    await page.getByRole('link', { name: /ambulance/i }).waitFor();
    expect(await ask(page, 'GET', '/api/devices', undefined, key)).toBe(403);
    expect(await ask(page, 'PUT', '/api/vehicles/1', file, key)).toBe(403);
  });
});
