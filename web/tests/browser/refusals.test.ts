/** What must be refused: wrong keys, foreign names, foreign pages, and what is too large. */
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
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

/** Everything that a page of another origin can try; gives what came back to it. */
function attack(page: Page, target: string, key: string): Promise<Record<string, string>> {
  return page.evaluate(
    async ([target, key]) => {
      const got: Record<string, string> = {};
      const body = JSON.stringify({ text: 'format = 1\n[vehicle]\nname = "planted"\n' });
      const json = { 'Content-Type': 'application/json' };
      const bearer = { ...json, Authorization: `Bearer ${key}` };
      const tries: Record<string, [string, RequestInit]> = {
        'cors post': ['/api/vehicles', { method: 'POST', headers: json, body }],
        'cors post with a key': ['/api/vehicles', { method: 'POST', headers: bearer, body }],
        'cors put with a key': ['/api/vehicles/1', { method: 'PUT', headers: bearer, body }],
        'cors get': ['/api/vehicles', {}],
        'cors get with a key': ['/api/vehicles', { headers: { Authorization: `Bearer ${key}` } }],
        'get with cookies': ['/api/vehicles', { credentials: 'include' }],
        'blind post': ['/api/vehicles', { method: 'POST', mode: 'no-cors', headers: json, body }],
        'blind pairing': [
          '/api/pair',
          { method: 'POST', mode: 'no-cors', headers: json, body: '{"code":"a","name":"b"}' },
        ],
        'blind get': ['/api/vehicles', { mode: 'no-cors' }],
      };
      for (const [name, [path, init]] of Object.entries(tries)) {
        try {
          const answer = await fetch(target + path, init);
          got[name] = `${answer.type} ${answer.status} ${await answer.text()}`;
        } catch (cause) {
          got[name] = (cause as Error).name;
        }
      }
      const element = <T extends HTMLElement>(tag: string, set: (own: T) => void): Promise<string> =>
        new Promise((done) => {
          const own = document.createElement(tag) as T;
          own.onload = () => done('loaded');
          own.onerror = () => done('refused');
          set(own);
          document.body.append(own);
          setTimeout(() => done('nothing'), 4000);
        });
      got['image'] = await element<HTMLImageElement>('img', (own) => {
        own.src = `${target}/favicon.svg`;
      });
      for (const path of ['/api/vehicles', '/api/vehicles/1', '/api/schema']) {
        got[`script ${path}`] = await element<HTMLScriptElement>('script', (own) => {
          own.src = target + path;
        });
      }
      got['stream'] = await new Promise((done) => {
        const stream = new EventSource(`${target}/api/events`);
        stream.onopen = () => done('open');
        stream.onerror = () => done('refused');
      });
      for (const path of ['/', '/p']) {
        const frame = document.createElement('iframe');
        frame.src = target + path;
        frame.name = `frame ${path}`;
        const loaded = new Promise((done) => {
          frame.onload = done;
        });
        document.body.append(frame);
        await loaded;
      }
      // A form needs no leave to post, and can write what looks like JSON as plain text.
      for (const enctype of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data']) {
        const sink = document.createElement('iframe');
        sink.name = enctype;
        document.body.append(sink);
        const form = document.createElement('form');
        Object.assign(form, { method: 'post', action: `${target}/api/vehicles`, enctype, target: enctype });
        const field = document.createElement('input');
        field.name = '{"text":"format = 1\\n[vehicle]\\nname = \\"planted\\"\\n","name":"';
        field.value = '"}';
        form.append(field);
        document.body.append(form);
        const loaded = new Promise((done) => {
          sink.onload = done;
          setTimeout(done, 4000);
        });
        form.submit();
        await loaded;
      }
      return got;
    },
    [target, key] as const,
  );
}

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

  test('that is our own does all this: the same tries are let in where they should be', async () => {
    const own = await startProgram();
    const { page } = await person(browser, { asServed: true });
    await page.goto(`${own.origin}/favicon.svg`);
    const before = await holdings(own);
    const post = await page.evaluate(
      async ([key]) => {
        const headers = { 'Content-Type': 'application/json', Authorization: `Bearer ${key}` };
        const body = JSON.stringify({ text: 'format = 1\n[vehicle]\nname = "planted"\n' });
        return (await fetch('/api/vehicles', { method: 'POST', headers, body })).status;
      },
      [own.key] as const,
    );
    expect(post).toBe(201);
    expect(await holdings(own)).not.toBe(before);
    await own.close();
  });
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
