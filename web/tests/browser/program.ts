/** The real program with an empty garage, and a real browser in front of it. */
import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, type BrowserContext, chromium, type Page, type Request } from 'playwright-core';

const ROOT = fileURLToPath(new URL('../../../', import.meta.url));
const DIST = fileURLToPath(new URL('../../dist/', import.meta.url));

/** The program under test: named by GROUNDLOOM, or where cargo puts it. */
export const PROGRAM = process.env['GROUNDLOOM'] ?? join(ROOT, 'target/release/groundloom');

const CHROMIUM = process.env['CHROMIUM'] ?? '/usr/bin/chromium';

export interface Program {
  readonly link: string;
  readonly origin: string;
  /** The desk's key, as the link carries it. */
  readonly key: string;
  stop(): Promise<void>;
  start(): Promise<void>;
  close(): Promise<void>;
}

function freePort(): Promise<number> {
  return new Promise((done) => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => done(typeof address === 'object' && address ? address.port : 0));
    });
  });
}

/** Starts the program; `stop` and `start` keep garage and port, as when a person closes and opens it. */
export async function startProgram(args: readonly string[] = []): Promise<Program> {
  if (!existsSync(PROGRAM)) {
    throw new Error(`${PROGRAM} is not there: run \`cargo build --release\`, or set GROUNDLOOM to the program`);
  }
  const folder = mkdtempSync(join(tmpdir(), 'groundloom-'));
  const port = await freePort();
  let child: ChildProcess | undefined;
  let link = '';
  const start = async (): Promise<void> => {
    const all = ['open', '--no-browser', '--json', '--port', String(port), '--garage', join(folder, 'garage'), ...args];
    const own = spawn(PROGRAM, all, { cwd: ROOT });
    child = own;
    // Also when a test breaks off before it closes what it started.
    process.once('exit', () => own.kill());
    link = await new Promise<string>((done, fail) => {
      let said = '';
      let line = '';
      own.stdout.on('data', (chunk: Buffer) => {
        line += chunk.toString();
        if (!line.includes('\n')) return;
        const told = JSON.parse(line) as { link: string; without_page: string | null };
        // A program without its page has nothing that these tests could hold against anything.
        if (told.without_page !== null) fail(new Error(told.without_page));
        else done(told.link);
      });
      own.stderr.on('data', (chunk: Buffer) => {
        said += chunk.toString();
      });
      own.on('exit', () => fail(new Error(`the program ended: ${said}${line}`)));
    });
  };
  const stop = async (): Promise<void> => {
    const own = child;
    if (!own || own.exitCode !== null) return;
    const ended = new Promise((done) => own.once('exit', done));
    own.kill('SIGINT');
    await ended;
  };
  await start();
  return {
    get link() {
      return link;
    },
    origin: new URL(link).origin,
    get key() {
      return /#key=([^&]+)/.exec(link)?.[1] ?? '';
    },
    start,
    stop,
    close: async () => {
      await stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

export function openBrowser(args: readonly string[] = []): Promise<Browser> {
  return chromium.launch({ executablePath: CHROMIUM, args: ['--no-sandbox', ...args] });
}

/** What the program answers to somebody who has the desk's key: the judge of what was stored. */
export async function asked<T>(program: Program, path: string): Promise<T> {
  const answer = await fetch(program.origin + path, { headers: { Authorization: `Bearer ${program.key}` } });
  if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`);
  return (await answer.json()) as T;
}

/** Everything that the garage holds, to be compared with itself later. */
export async function holdings(program: Program): Promise<string> {
  const { vehicles } = await asked<{ vehicles: { id: number }[] }>(program, '/api/vehicles');
  const { devices } = await asked<{ devices: { id: number; revoked: boolean }[] }>(program, '/api/devices');
  const parts = ['', '/history', '/readings', '/work', '/photos'];
  const paths = vehicles.flatMap(({ id }) => parts.map((part) => `/api/vehicles/${id}${part}`));
  const texts = await Promise.all(paths.map((path) => asked<unknown>(program, path)));
  // When a device was last heard of may change.
  return JSON.stringify([vehicles, texts, devices.map(({ id, revoked }) => [id, revoked])], null, 1);
}

export interface Look {
  readonly width?: number;
  readonly height?: number;
  readonly scheme?: 'light' | 'dark';
  readonly touch?: boolean;
  /** The program's own pages with its own headers, also while the page is worked on. */
  readonly asServed?: boolean;
}

/** What each page has asked for and not got yet. */
const UNDER_WAY = new WeakMap<Page, Set<Request>>();

/** A fresh person with a fresh browser; every complaint of the page is kept in `complaints`. */
export async function person(
  browser: Browser,
  look: Look = {},
): Promise<{ context: BrowserContext; page: Page; complaints: string[] }> {
  const context = await browser.newContext({
    viewport: { width: look.width ?? 1440, height: look.height ?? 900 },
    colorScheme: look.scheme ?? 'light',
    hasTouch: look.touch ?? false,
    locale: 'en-GB',
    reducedMotion: 'reduce',
  });
  context.setDefaultTimeout(PATIENCE);
  if (process.env['GROUNDLOOM_PAGES'] === 'dist' && !look.asServed) await servePages(context);
  const page = await context.newPage();
  const underWay = new Set<Request>();
  UNDER_WAY.set(page, underWay);
  page.on('request', (request) => {
    // A stream of events never ends.
    if (!request.url().includes('/api/events')) underWay.add(request);
  });
  page.on('requestfinished', (request) => underWay.delete(request));
  page.on('requestfailed', (request) => underWay.delete(request));
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  return { context, page, complaints };
}

/** What a page costs its main thread, ms of the processor: whatever else the machine does is not in it. */
export async function mainThread(page: Page): Promise<() => Promise<number>> {
  const session = await page.context().newCDPSession(page);
  await session.send('Performance.enable', { timeDomain: 'threadTicks' });
  const taken = async (): Promise<number> => {
    const { metrics } = await session.send('Performance.getMetrics');
    return (metrics.find(({ name }) => name === 'TaskDuration')?.value ?? Number.NaN) * 1000;
  };
  const before = await taken();
  return async () => (await taken()) - before;
}

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.woff2': 'font/woff2',
};

/** While the page is worked on: pages from `dist`, answers from a program built before. */
async function servePages(context: BrowserContext): Promise<void> {
  await context.route(/^http:\/\/[^/]+\/(assets\/.*|p)?(\?.*)?$/, async (route) => {
    const { pathname } = new URL(route.request().url());
    const file = join(DIST, pathname === '/' ? 'index.html' : pathname === '/p' ? 'phone.html' : pathname);
    await route.fulfill({ body: readFileSync(file), contentType: TYPES[extname(file)] ?? 'text/plain' });
  });
}

/** Opens an example by its door and waits for the plan. */
export async function openExample(page: Page, link: string, name = /rescue/): Promise<void> {
  await page.goto(link);
  await page.locator('.layouts').getByRole('button', { name }).click();
  await page.locator('svg[data-zoom]').waitFor();
  await page.locator('tr[data-load]').first().waitFor();
}

/** Opens a text by the first door and waits for the plan. */
export async function openText(page: Page, link: string, text: string): Promise<void> {
  await page.goto(link);
  await page.getByRole('heading', { name: 'Open a file' }).waitFor();
  await page
    .locator('input[type=file]')
    .setInputFiles({ name: 'made.toml', mimeType: 'text/plain', buffer: Buffer.from(text) });
  await page.locator('svg[data-zoom]').waitFor();
}

export const SHEETS = ['plan', 'volts', 'readings', 'failures', 'work', 'file', 'hand-on'] as const;

/** Goes to a sheet of the open vehicle. */
export async function toSheet(page: Page, sheet: string): Promise<void> {
  await page.evaluate((name) => {
    location.hash = location.hash.replace(/[^/]*$/, name);
  }, sheet);
  await page.locator(`nav a[aria-current][href$="/${sheet}"]`).waitFor();
}

/** How long a busy machine may take to show what it was asked for: only a page that never does fails. */
export const PATIENCE = 90_000;
export const SOON = { timeout: PATIENCE } as const;

/**
 * Until the page has come to rest, however long a busy machine takes: nothing that it asked for is under way, it says of
 * nothing that it is being worked out, and for a while nothing in it has changed.
 */
export async function atRest(page: Page): Promise<void> {
  const underWay = UNDER_WAY.get(page);
  const looks = performance.now();
  do {
    await stillness(page);
    if (performance.now() - looks > PATIENCE) throw new Error('the page does not come to rest');
  } while (underWay !== undefined && underWay.size > 0);
}

async function stillness(page: Page): Promise<void> {
  await page.evaluate(async () => {
    await document.fonts.ready;
    const busy = (): boolean =>
      [...document.querySelectorAll('.waiting [role=status]')].some((own) => own.textContent?.trim().endsWith('…'));
    await new Promise<void>((done) => {
      let timer = 0;
      const look = (): void => {
        clearTimeout(timer);
        timer = window.setTimeout(() => {
          if (busy()) return look();
          watch.disconnect();
          done();
        }, 500);
      };
      const watch = new MutationObserver(look);
      watch.observe(document.documentElement, {
        subtree: true,
        childList: true,
        attributes: true,
        characterData: true,
      });
      look();
    });
  });
}
