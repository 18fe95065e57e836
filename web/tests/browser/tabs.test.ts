/** Many tabs of one browser: six connections to a program are all that it has. */
import type { BrowserContext, Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { openExample, type Program, person, SOON } from './program';
import { stage } from './stage';

const at = stage();
const TABS = 7;

/** The streams of events that are open in each tab. */
function streamsOf(page: Page): () => number {
  const open = new Set<unknown>();
  const isStream = (request: { url(): string }): boolean => request.url().endsWith('/api/events');
  page.on('request', (request) => isStream(request) && open.add(request));
  page.on('requestfinished', (request) => open.delete(request));
  page.on('requestfailed', (request) => open.delete(request));
  page.on('close', () => open.clear());
  return () => open.size;
}

async function make(program: Program, name: string): Promise<void> {
  const answer = await fetch(`${program.origin}/api/vehicles`, {
    method: 'POST',
    headers: { Authorization: `Bearer ${program.key}`, 'Content-Type': 'application/json', Origin: program.origin },
    body: JSON.stringify({ layout: 'front-engine', name }),
  });
  expect(answer.status).toBe(201);
}

async function tabs(context: BrowserContext): Promise<{ page: Page; streams: () => number }[]> {
  const all = [];
  for (let number = 0; number < TABS; number += 1) {
    const page = await context.newPage();
    const streams = streamsOf(page);
    await page.goto(at.program.link);
    await page.getByRole('heading', { name: 'Open a file' }).waitFor(SOON);
    all.push({ page, streams });
  }
  return all;
}

test('seven tabs hold one stream: each is answered and told, and another takes over where one is closed', async () => {
  const { context, page: first } = await person(at.browser);
  await openExample(first, at.program.link);
  await first.close();
  const all = await tabs(context);
  const sum = (): number => all.reduce((own, { streams }) => own + streams(), 0);
  await expect.poll(sum, SOON).toBe(1);
  // A request of the first tab, which would be the seventh connection if each held its own.
  const status = await all[0]?.page.evaluate(async () => {
    const headers = { Authorization: `Bearer ${sessionStorage.getItem('groundloom.key')}` };
    const answer = await fetch('/api/me', { headers, signal: AbortSignal.timeout(10_000) });
    return answer.status;
  });
  expect(status).toBe(200);
  await make(at.program, 'first told');
  for (const { page } of all) await page.getByRole('link', { name: /first told/ }).waitFor(SOON);
  const leader = all.findIndex(({ streams }) => streams() === 1);
  const [gone] = all.splice(leader, 1);
  await gone?.page.close();
  await expect.poll(sum, SOON).toBe(1);
  await make(at.program, 'second told');
  for (const { page } of all) await page.getByRole('link', { name: /second told/ }).waitFor(SOON);
  await context.close();
});

test('without locks a tab follows while it is in view, and knows what happened when it comes back', async () => {
  const { context, page } = await person(at.browser);
  await page.addInitScript(() => {
    Object.defineProperty(Navigator.prototype, 'locks', { get: () => undefined });
    let state = 'visible';
    Object.defineProperty(Document.prototype, 'visibilityState', { get: () => state });
    addEventListener('turn', () => {
      state = state === 'visible' ? 'hidden' : 'visible';
      document.dispatchEvent(new Event('visibilitychange'));
    });
  });
  const streams = streamsOf(page);
  const turn = (): Promise<boolean> => page.evaluate(() => dispatchEvent(new Event('turn')));
  await page.goto(at.program.link);
  await expect.poll(streams, SOON).toBe(1);
  await turn();
  await expect.poll(streams, SOON).toBe(0);
  await make(at.program, 'while away');
  await page.waitForTimeout(500);
  expect(await page.getByRole('link', { name: /while away/ }).count()).toBe(0);
  await turn();
  await page.getByRole('link', { name: /while away/ }).waitFor(SOON);
  expect(streams()).toBe(1);
  await context.close();
});
