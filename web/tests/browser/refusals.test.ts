/** What must be refused: wrong keys, foreign names, foreign pages. */
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { attack } from './attack';
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
let foreign: Server;
let foreignPort = 0;
let port = '';

beforeAll(async () => {
  program = await startProgram();
  port = new URL(program.origin).port;
  // No name is asked of any network: the foreign one is this machine.
  browser = await openBrowser(['--host-resolver-rules=MAP evil.test 127.0.0.1']);
  foreign = createServer((_, answer) => {
    answer.writeHead(200, { 'Content-Type': 'text/html' });
    answer.end('<!doctype html><title>foreign</title><body>A foreign page</body>');
  });
  await new Promise<void>((done) => {
    foreign.listen(0, '127.0.0.1', done);
  });
  foreignPort = (foreign.address() as AddressInfo).port;
  const { context, page } = await person(browser);
  await openExample(page, program.link);
  await context.close();
});
afterEach(() => Promise.all(browser.contexts().map((context) => context.close())));
afterAll(async () => {
  await browser.close();
  await program.close();
  await new Promise((done) => foreign.close(done));
});

/** The status and body of an answer that the page may read, or the name of what stopped it. */
function get(page: Page, url: string, key: string | null): Promise<{ status: number; body: string } | string> {
  return page.evaluate(
    async ([url, key]) => {
      try {
        const answer = await fetch(url, key === null ? {} : { headers: { Authorization: `Bearer ${key}` } });
        return { status: answer.status, body: await answer.text() };
      } catch (cause) {
        return (cause as Error).name;
      }
    },
    [url, key] as const,
  );
}

describe('without the key', () => {
  test.each([
    ['a wrong key in the link', '/#key=wrong'],
    ['no key', '/'],
    ['no key and a vehicle in the address', '/#/1/plan'],
  ])('the page with %s says that it needs its key, and shows nothing of the garage', async (_, path) => {
    const { page } = await person(browser);
    const bodies: Promise<string>[] = [];
    page.on('response', (answer) => {
      if (answer.url().includes('/api/')) bodies.push(answer.text().catch(() => ''));
    });
    await page.goto(program.origin + path);
    await page.getByRole('heading', { name: 'This page needs its key' }).waitFor();
    expect(await page.locator('main').innerText()).toContain('groundloom open');
    expect(await page.locator('body').innerText()).not.toMatch(/ambulance/i);
    for (const body of await Promise.all(bodies)) expect(body).not.toMatch(/ambulance/i);
  });

  test('no request gets data, and with it the same requests do', async () => {
    const { page } = await person(browser, { asServed: true });
    await page.goto(`${program.origin}/`);
    const paths = [
      'me',
      'vehicles',
      'vehicles/1',
      'vehicles/1/file',
      'vehicles/1/readings',
      'vehicles/1/history',
      'devices',
      'layouts',
      'schema',
      'vehicles/1/report',
    ];
    for (const path of paths) {
      for (const key of [null, 'wrong', program.key.slice(0, -1)]) {
        expect(await get(page, `/api/${path}`, key), `${path} ${key}`).toMatchObject({ status: 401 });
      }
    }
    for (const path of paths) expect(await get(page, `/api/${path}`, program.key), path).toMatchObject({ status: 200 });
  });

  test('a page that was open when the program was started again keeps what was typed, and goes on with the new link', async () => {
    const own = await startProgram();
    const { page } = await person(browser);
    await openExample(page, own.link);
    await toSheet(page, 'file');
    await page.locator('.cm-content').click();
    await page.keyboard.press('Control+Home');
    await page.keyboard.type('# typed before the restart\n');
    await own.stop();
    await own.start();
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
    await expect.poll(() => page.getByRole('alert').innerText(), SOON).toMatch(/key is good for nothing now/);
    expect(await page.locator('.cm-content').innerText()).toContain('# typed before the restart');
    await page.goto(own.link);
    await expect.poll(() => page.getByRole('alert').count(), SOON).toBe(0);
    await page.getByRole('button', { name: 'Keep', exact: true }).click();
    await page.getByText(/revision 2, kept/).waitFor();
    expect((await asked<{ vehicle: { text: string } }>(own, '/api/vehicles/1')).vehicle.text).toContain(
      '# typed before',
    );
    await own.close();
  });
});

describe('a foreign name that leads to this machine', () => {
  test('gets neither page nor data, whatever key it has', async () => {
    const { page } = await person(browser, { asServed: true });
    const before = await holdings(program);
    const answer = await page.goto(`http://evil.test:${port}/`);
    expect(answer?.status()).toBe(421);
    expect(await page.locator('#app').count()).toBe(0);
    expect(await page.locator('body').innerText()).toContain('another host');
    // The key as if stolen: from the page of that name, the program is its own origin.
    expect(await page.evaluate(() => location.host)).toBe(`evil.test:${port}`);
    for (const path of ['/api/vehicles', '/api/vehicles/1/file', '/p', '/favicon.svg']) {
      const got = await get(page, path, program.key);
      expect(got, path).toMatchObject({ status: 421 });
      expect(JSON.stringify(got)).not.toMatch(/ambulance/i);
    }
    const put = await page.evaluate(async (key) => {
      const headers = { Authorization: `Bearer ${key}`, 'Content-Type': 'application/json' };
      return (await fetch('/api/vehicles', { method: 'POST', headers, body: '{"text":"format = 1"}' })).status;
    }, program.key);
    expect(put).toBe(421);
    expect(await holdings(program)).toBe(before);
  });
});

describe('a page of another origin', () => {
  test.each([
    ['another port', () => `http://127.0.0.1:${foreignPort}`, () => `http://127.0.0.1:${port}`],
    ['another port, to localhost', () => `http://localhost:${foreignPort}`, () => `http://localhost:${port}`],
    ['another name', () => `http://evil.test:${foreignPort}`, () => `http://127.0.0.1:${port}`],
    ['another name, to itself', () => `http://evil.test:${foreignPort}`, () => `http://evil.test:${port}`],
  ])('on %s reads nothing, shows nothing and stores nothing, even with the key', async (_, from, to) => {
    const { page } = await person(browser, { asServed: true });
    const before = await holdings(program);
    const statuses: string[] = [];
    page.on('response', (answer) => {
      if (new URL(answer.url()).port === port)
        statuses.push(`${answer.status()} ${answer.request().method()} ${answer.url()}`);
    });
    await page.goto(from());
    const got = await attack(page, to(), program.key);
    for (const [what, answer] of Object.entries(got)) {
      expect(answer, what).toMatch(what.startsWith('blind') ? /^opaque 0 $|^TypeError$/ : /^TypeError$|^refused$/);
    }
    expect(Object.keys(got)).toHaveLength(14);
    for (const frame of page.frames().slice(1)) {
      expect(await frame.locator('#app').count(), frame.name()).toBe(0);
      expect(await frame.locator('body').innerText(), frame.name()).not.toMatch(/ambulance/i);
    }
    // Pages are free to everybody who names the right host, but never inside a frame; all else is refused.
    const answered = statuses.filter((one) => one.startsWith('2') && !/ GET \S+\/p?$/.test(one));
    expect(answered).toEqual([]);
    expect(statuses.filter((one) => one.includes('POST')).length).toBeGreaterThan(0);
    expect(await holdings(program)).toBe(before);
  });

  test('gets all this from a program that is careless: the tries themselves work', async () => {
    const posted: string[] = [];
    const careless = createServer((request, answer) => {
      const open = {
        'Access-Control-Allow-Origin': request.headers.origin ?? '*',
        'Access-Control-Allow-Credentials': 'true',
      };
      const all = {
        ...open,
        'Access-Control-Allow-Headers': 'authorization, content-type',
        'Access-Control-Allow-Methods': 'PUT',
      };
      const kinds: Record<string, string> = {
        '/favicon.svg': 'image/svg+xml',
        '/api/events': 'text/event-stream',
        '/': 'text/html',
      };
      if (request.method === 'POST') posted.push(request.headers['content-type'] ?? '');
      answer.writeHead(200, { ...all, 'Content-Type': kinds[request.url ?? ''] ?? 'text/javascript' });
      if (request.url === '/api/events') answer.write('data: {}\n\n');
      else if (request.url === '/') answer.end('<div id="app">ambulance</div>');
      else
        answer.end(
          request.url === '/favicon.svg' ? '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>' : '"x"',
        );
    });
    await new Promise<void>((done) => {
      careless.listen(0, '127.0.0.1', done);
    });
    const { page } = await person(browser, { asServed: true });
    await page.goto(`http://127.0.0.1:${foreignPort}`);
    const got = await attack(page, `http://127.0.0.1:${(careless.address() as AddressInfo).port}`, program.key);
    for (const [what, answer] of Object.entries(got)) {
      expect(answer, what).toMatch(what.startsWith('blind') ? /^opaque/ : /^cors 200 |^loaded$|^open$/);
    }
    expect(await page.frameLocator('iframe[name="frame /"]').locator('#app').innerText()).toBe('ambulance');
    expect(posted.map((type) => type.split(';')[0])).toEqual(
      expect.arrayContaining([
        'application/json',
        'text/plain',
        'application/x-www-form-urlencoded',
        'multipart/form-data',
      ]),
    );
    await page.close();
    careless.closeAllConnections();
    await new Promise((done) => careless.close(done));
  });
});
