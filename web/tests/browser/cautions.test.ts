/** Each caution stands where it concerns: on the terminal, on the page, on the phone, and on paper. */
import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import type { Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { openText, PROGRAM, person, SOON, toSheet } from './program';
import { stage } from './stage';

const FILE = fileURLToPath(new URL('../../../crates/answers/src/cautions/cruiser.toml', import.meta.url));
const TEXT = readFileSync(FILE, 'utf8');
/** All that lies on the return is a little doubted after it, and so is the cable between the batteries. */
const READING = 'cranking: starter/- to start/- 0.95 V';

/** Each with a joint that it concerns, a new cable that it concerns, and words of it. */
const CAUTIONS = [
  {
    key: 'petrol vapour',
    joint: 'locker-block.to',
    cable: ['start/-', 'hull/bow'],
    words: /run the blower 4 minutes.*ignition protected.*33 CFR 183\.410/s,
  },
  {
    key: 'gas locker',
    joint: 'hull-locker.to',
    cable: ['start/-', 'locker-stud'],
    words: /Nothing that can spark belongs in a gas locker.*EN 1949/s,
  },
  {
    key: 'not these bolts',
    joint: 'hull-locker.from',
    cable: ['shunt', 'hull/bow'],
    words: /Never ground to a bolt of the fuel tank.*seat belt.*restraint.*suspension.*common practice/is,
  },
  {
    key: 'battery sensor',
    joint: 'main-negative.from',
    cable: ['start/-', 'hull/bow'],
    words: /sensor or shunt sits on a battery post.*common practice/is,
  },
  {
    key: 'fuse near each battery',
    joint: 'link.from',
    cable: ['start/+', 'starter/+'],
    words: /one that joins two batteries.*near each.*33 CFR 183\.455/s,
  },
  {
    key: 'welding',
    joint: 'main-negative.to',
    cable: ['start/-', 'hull/bow'],
    words: /disconnect every battery.*beside the weld.*bearing.*common practice/is,
  },
] as const;

const at = stage(['--share=127.0.0.1']);
const folder = mkdtempSync(join(tmpdir(), 'groundloom-cautions-'));
const report = join(folder, 'report.html');
let desk: Page;
let phone: Page;

function run(...words: string[]): Promise<string> {
  return new Promise((done, fail) => {
    execFile(PROGRAM, words, (error, out) => {
      // Exit 1: answered, and something wants attention.
      if (error && error.code !== 1) fail(error);
      else done(out.replaceAll(/\s+/g, ' '));
    });
  });
}

const told = (where: Page | Locator, key: string): Locator => where.locator(`[data-caution="${key}"]`).first();

beforeAll(async () => {
  const readings = join(folder, 'readings.txt');
  writeFileSync(readings, `${READING}\n`);
  await run('report', FILE, readings, '--output', report);
  ({ page: desk } = await person(at.browser));
  await openText(desk, at.program.link, TEXT);
  await toSheet(desk, 'hand-on');
  const answer = desk.waitForResponse(/\/api\/pairings$/);
  await desk.getByRole('button', { name: 'Let a phone in' }).click();
  const { link } = (await (await answer).json()) as { link: string };
  const put = await fetch(`${at.program.origin}/api/vehicles/1/readings/cautions-1`, {
    method: 'PUT',
    headers: {
      Authorization: `Bearer ${at.program.key}`,
      'Content-Type': 'application/json',
      Origin: at.program.origin,
    },
    body: JSON.stringify({ text: READING }),
  });
  expect(put.status).toBe(201);
  ({ page: phone } = await person(at.browser, { width: 390, height: 844, touch: true }));
  await phone.goto(link);
  await phone.locator('[data-suspect]').first().waitFor();
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe.each(CAUTIONS)('the caution of $key', ({ key, joint, cable, words }) => {
  test('stands on the terminal: on the sheet of the joint, and under a cable that is tried', async () => {
    expect(await run('bolt', FILE, '--joint', joint, '--thread', 'M8', '--torque', '15 N·m')).toMatch(words);
    expect(await run('what-if', FILE, '--state', 'cranking', '--add', `${cable.join(',')},35mm2,0.8m`)).toMatch(words);
  });

  test('stands on the page: on the card of the joint, on a new cable, and beside the suspects', async () => {
    await toSheet(desk, 'plan');
    // The readings before may have gone to another state, in which the table lists other conductors.
    await desk.locator('input[value="cranking"]').check({ force: true });
    const table = desk.locator('details summary', { hasText: 'The plan as a table' });
    await table.click();
    const [conductor = '', end] = joint.split(/\.(?=from$|to$)/);
    await desk.locator('details table').getByRole('button', { name: conductor, exact: true }).click();
    await table.click();
    await desk
      .locator('.joints button')
      .nth(end === 'from' ? 0 : 1)
      .click();
    await desk.locator(`[data-card="${joint}"]`).waitFor();
    await told(desk.locator('.card'), key).waitFor();
    await expect.poll(() => told(desk.locator('.card'), key).innerText(), SOON).toMatch(words);
    await desk.getByRole('button', { name: 'Draw a cable' }).click();
    await desk.getByLabel('from', { exact: true }).selectOption(cable[0]);
    await desk.getByLabel('to', { exact: true }).selectOption(cable[1]);
    expect(await told(desk, key).innerText()).toMatch(words);
    await desk.getByRole('button', { name: 'Stop drawing' }).click();
    await toSheet(desk, 'readings');
    await desk.locator('[data-suspect]').first().waitFor();
    expect(await told(desk.locator('.meaning'), key).innerText()).toMatch(words);
  });

  test('stands on the phone, and on the printed report', async () => {
    expect(await told(phone, key).innerText()).toMatch(words);
    const { context, page } = await person(at.browser);
    await page.goto(pathToFileURL(report).href);
    await page.locator('[data-suspect]').first().waitFor();
    await page.emulateMedia({ media: 'print' });
    expect(await told(page.locator('#readings'), key).isVisible()).toBe(true);
    await context.close();
  });
});

test('a job sheet carries what concerns its job, on paper too', async () => {
  await toSheet(desk, 'work');
  const jobs = desk.locator('article.job');
  await jobs.first().waitFor();
  await desk.emulateMedia({ media: 'print' });
  for (const job of await jobs.all()) expect(await told(job, 'petrol vapour').isVisible()).toBe(true);
  await desk.emulateMedia({ media: 'screen' });
});
